package header

import (
	"bytes"
	"encoding/binary"

	"solander/picture"
)

// Markers of JPEG that are looked at (T.81, table B.1).
const (
	sof0, sof1, sof2 = 0xc0, 0xc1, 0xc2
	soi, eoi, sos    = 0xd8, 0xd9, 0xda
	app1, app2       = 0xe1, 0xe2
	app14            = 0xee
)

type jpegReader struct {
	Header
	found bool
	plain bool           // the samples are red, green, blue as they are
	parts map[int][]byte // of the colour profile, by their place
	total int            // how many parts it has
}

func readJPEG(file []byte) (Header, error) {
	j := jpegReader{Header: Header{Kind: JPEG, Turn: 1}, parts: map[int][]byte{}}
	for at := 2; ; {
		for at < len(file) && file[at] != 0xff { // some cameras put filling between segments
			at++
		}
		for at < len(file) && file[at] == 0xff {
			at++
		}
		if at >= len(file) {
			return Header{}, broken(JPEG)
		}
		marker := file[at]
		at++
		if marker == 0 || marker == 1 || marker >= 0xd0 && marker <= soi {
			continue // these stand alone
		}
		length, ok := cut(file, int64(at), 2)
		if !ok || marker == eoi {
			return Header{}, broken(JPEG)
		}
		n := int64(binary.BigEndian.Uint16(length))
		body, ok := cut(file, int64(at)+2, n-2)
		if !ok {
			return Header{}, broken(JPEG)
		}
		if marker == sos {
			return j.whole()
		}
		if err := j.segment(marker, body); err != nil {
			return Header{}, err
		}
		at += int(n)
	}
}

func (j *jpegReader) segment(marker byte, body []byte) error {
	switch {
	case marker == sof0 || marker == sof1 || marker == sof2:
		return j.frame(marker, body)
	case marker > sof2 && marker <= 0xcf && marker != 0xc4 && marker != 0xc8 && marker != 0xcc:
		return invalid("the JPEG file is packed in a way that is not read here").ToMend("save it as a usual JPEG")
	case marker == app1:
		if exif, ok := bytes.CutPrefix(body, []byte("Exif\x00\x00")); ok {
			j.Turn = turnOf(exif)
		}
	case marker == app2:
		return j.profilePart(body)
	case marker == app14 && bytes.HasPrefix(body, []byte("Adobe")) && len(body) >= 12:
		j.plain = body[11] == 0
	}
	return nil
}

// frame reads the size of the picture and what its samples take. A progressive file keeps four bytes a sample beside them.
func (j *jpegReader) frame(marker byte, body []byte) error {
	if len(body) < 6 || len(body) < 6+3*int(body[5]) || j.found {
		return broken(JPEG)
	}
	j.found = true
	if body[0] != 8 {
		return invalid("the JPEG file has %d bits a colour, 8 are read", body[0]).ToMend("save it with 8 bits a colour")
	}
	j.Box = picture.Box{Width: int(binary.BigEndian.Uint16(body[3:])), Height: int(binary.BigEndian.Uint16(body[1:]))}
	parts := int(body[5])
	if parts == 4 {
		return inks()
	}
	if parts != 1 && parts != 3 {
		return broken(JPEG)
	}
	var samples, most int64
	var names string
	for i := range parts {
		one := body[6+3*i:]
		across, down := int64(one[1]>>4), int64(one[1]&15)
		if across < 1 || across > 4 || down < 1 || down > 4 {
			return broken(JPEG)
		}
		names += string(one[:1])
		samples += across * down
		most = max(most, across*down)
	}
	if parts == 1 {
		samples, most = 1, 1
	}
	pixels := (int64(j.Width) + 63) * (int64(j.Height) + 63)
	j.Memory = pixels * samples / most
	if marker == sof2 {
		j.Memory *= 5
	}
	if j.plain || names == "RGB" {
		j.Memory += 4 * pixels
	}
	return nil
}

// profilePart gathers a part of the colour profile: "ICC_PROFILE", its place from 1, how many there are.
func (j *jpegReader) profilePart(body []byte) error {
	part, ok := bytes.CutPrefix(body, []byte("ICC_PROFILE\x00"))
	if !ok || len(part) < 2 {
		return nil
	}
	j.parts[int(part[0])] = part[2:]
	j.total = int(part[1])
	return nil
}

func (j *jpegReader) whole() (Header, error) {
	if !j.found {
		return Header{}, broken(JPEG)
	}
	for i := 1; i <= j.total; i++ {
		part, ok := j.parts[i]
		if !ok {
			return Header{}, unreadableProfile()
		}
		j.Profile = append(j.Profile, part...)
	}
	return j.Header, j.profileBounded()
}

func unreadableProfile() error {
	return invalid("the colour profile of the picture cannot be read").ToMend("save it anew as sRGB")
}

func (h Header) profileBounded() error {
	if len(h.Profile) > MaxProfile {
		return unreadableProfile()
	}
	return nil
}

package strict

import (
	"bytes"

	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

// AsSaved returns the text of a file that a person's editor or shell has saved: those of Windows may begin it with a byte order mark, or
// write UTF-16. What is neither, or is broken, stays as it is, for Decode to refuse. Source: RFC 8259, 8.1: a mark may be ignored; RFC 2781.
func AsSaved(data []byte) []byte {
	if bytes.HasPrefix(data, []byte("\xFF\xFE")) || bytes.HasPrefix(data, []byte("\xFE\xFF")) {
		text, _, err := transform.Bytes(unicode.UTF16(unicode.BigEndian, unicode.ExpectBOM).NewDecoder(), data)
		if err != nil || len(data)%2 != 0 || bytes.ContainsRune(text, '\uFFFD') {
			return data
		}
		return text
	}
	return bytes.TrimPrefix(data, []byte("\xEF\xBB\xBF"))
}

package place

// steady hands a file to its disk piece by piece. What is only handed over at the end lies in the system's memory until then, and a file
// system that keeps its order (ext4 by default: man ext4, data=ordered) writes all of it out before it keeps anything else: a sale that was
// taken meanwhile would wait for the whole copy.
type steady struct {
	file
	since int
}

// piece is how many bytes may wait: few enough that a stick of 40 MB a second takes them in a fortieth of a second.
const piece = 1 << 20

func (s *steady) Write(p []byte) (int, error) {
	n, err := s.file.Write(p)
	s.since += n
	if err == nil && s.since >= piece {
		s.since = 0
		err = s.file.Sync()
	}
	return n, err
}

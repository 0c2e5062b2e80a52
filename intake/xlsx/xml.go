package xlsx

import (
	"encoding/xml"
	"errors"
	"io"

	"solander/fault"
)

// stream walks the elements of a part. It refuses a document type, so that no entities can be defined.
type stream struct {
	*xml.Decoder
	depth int
}

const mostDepth = 60

func newStream(r io.Reader) *stream { return &stream{Decoder: xml.NewDecoder(r)} }

var (
	errDocumentType = errors.New("a document type within")
	errTooDeep      = errors.New("nested too deeply")
)

// next returns the next start or end of an element; nil at the end of the part.
func (s *stream) next() (xml.Token, error) {
	for {
		t, err := s.Token()
		if errors.Is(err, io.EOF) && t == nil {
			return nil, nil
		}
		if err != nil {
			return nil, err
		}
		switch t.(type) {
		case xml.StartElement:
			if s.depth++; s.depth > mostDepth {
				return nil, errTooDeep
			}
			return t, nil
		case xml.EndElement:
			s.depth--
			return t, nil
		case xml.Directive:
			return nil, errDocumentType
		}
	}
}

// text returns the characters up to the end of the element just opened, leaving out elements within.
func (s *stream) text() (string, error) {
	var b []byte
	for depth := 0; ; {
		t, err := s.Token()
		if err != nil {
			return "", err
		}
		switch t := t.(type) {
		case xml.StartElement:
			if depth++; depth > mostDepth {
				return "", errTooDeep
			}
		case xml.EndElement:
			if depth == 0 {
				s.depth--
				return string(b), nil
			}
			depth--
		case xml.CharData:
			if b = append(b, t...); len(b) > MostCell {
				return "", errTooMuch
			}
		case xml.Directive:
			return "", errDocumentType
		}
	}
}

// attr returns the value of an attribute without regard to its namespace; "" when it is missing.
func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func isTrue(s string) bool { return s == "1" || s == "true" }

// broken is a fault about a part that is not as the standard says.
func (b *book) broken(part string, err error) error {
	if f := (*fault.Error)(nil); errors.As(err, &f) {
		return f.At("%s", b.name)
	}
	if errors.Is(err, errTooMuch) {
		return bomb(b.name)
	}
	return fault.New(fault.Invalid, "the part %s is damaged", fault.Clip(part)).At("%s", b.name).ToMend("open the workbook in a spreadsheet program and save it again as .xlsx").Because(err)
}

// walk calls visit for each element of a part as it opens; a missing part has none. visit may read on to the
// element's end.
func (b *book) walk(part string, visit func(s *stream, e xml.StartElement) error) (found bool, err error) {
	r, found, err := b.parts.open(part)
	if err != nil {
		return found, b.broken(part, err)
	}
	if !found {
		return false, nil
	}
	defer r.Close()
	s := newStream(r)
	for {
		t, err := s.next()
		if err != nil {
			return true, b.broken(part, err)
		}
		if t == nil {
			return true, nil
		}
		if e, ok := t.(xml.StartElement); ok {
			if err := visit(s, e); err != nil {
				return true, b.broken(part, err)
			}
		}
	}
}

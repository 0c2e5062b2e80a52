package intake

import "testing"

func TestLetters(t *testing.T) {
	for column, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 701: "ZZ", 702: "AAA", 16383: "XFD", -1: ""} {
		if got := Letters(column); got != want {
			t.Errorf("column %d is %q, want %q", column, got, want)
		}
	}
}

func TestFills(t *testing.T) {
	for in, word := range map[string]string{"#C6EFCE": "pale green", "#FFC7CE": "pale red", "#FFEB9C": "pale yellow", "#4472C4": "blue", "#000000": "black", "#FFFFFF": "white", "#D9D9D9": "pale grey", "": "", "#203764": "dark blue"} {
		f, err := ParseFill(in)
		if err != nil || f.Word() != word || f.String() != in {
			t.Errorf("%s is %s, %s, %v, want %s", in, f, f.Word(), err, word)
		}
	}
	for _, in := range []string{"C6EFCE", "#C6EFC", "#GGGGGG", "#C6EFCE0", "# C6EFC"} {
		if f, err := ParseFill(in); err == nil {
			t.Errorf("%q is read as %s", in, f)
		}
	}
}

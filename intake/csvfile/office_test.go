package csvfile

import (
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The other side is a general office program: it wrote testdata/letters.fods in three ways (make workbooks), and each is
// found out and read to the same cells.
func TestTextsOfAnOfficeProgram(t *testing.T) {
	want := [][]string{
		{"Date", "Who", "Remarks"},
		{"04.06.2025", "Jörg Ünal", `owes 20 €, "soon"; he says`},
		{"05.06.2025", "Zoë Çelik", "two lines:\nthe second"},
		{"06.06.2025", "Edda Quill"},
	}
	for name, told := range map[string][2]string{
		"utf8-comma.csv":        {"the text was read as UTF-8", "the cells are parted by commas: they give 4 of the first 4 rows the same 3 cells"},
		"windows-semicolon.csv": {"the text was read as Windows-1252, since it is not valid UTF-8", "the cells are parted by semicolons: they give 4 of the first 4 rows the same 3 cells"},
		"utf16-tab.csv":         {"the text was read as UTF-16, little end first", "the cells are parted by tabs: they give 4 of the first 4 rows the same 3 cells"},
	} {
		data, err := os.ReadFile("testdata/" + name)
		if err != nil {
			t.Fatal(err)
		}
		table, err := Read(name, data, nil)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, texts(table)); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
		if got := [2]string{table.Findings[0].What, table.Findings[1].What}; got != told {
			t.Errorf("%s: told %q", name, got)
		}
	}
}

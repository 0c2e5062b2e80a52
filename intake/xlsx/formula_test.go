package xlsx

import (
	"fmt"
	"strings"
	"testing"

	"solander/intake"
)

// conditional reads a sheet of four rows with one rule over A2:C4 and returns which cells it colours.
func conditional(t *testing.T, rule string) (coloured string, findings []intake.Finding) {
	t.Helper()
	rows := `<row r="1"><c r="A1"><v>1</v></c><c r="B1" t="inlineStr"><is><t>sent</t></is></c><c r="C1"><v>10</v></c></row>` +
		`<row r="2"><c r="A2"><v>2</v></c><c r="B2" t="inlineStr"><is><t>Sent</t></is></c><c r="C2"><v>20.5</v></c></row>` +
		`<row r="3"><c r="A3"><v>3</v></c><c r="B3" t="inlineStr"><is><t>owes 20</t></is></c><c r="C3" t="e"><v>#N/A</v></c></row>` +
		`<row r="4"><c r="A4"><v>4</v></c><c r="C4"><v>30</v></c></row>`
	styles := `<styleSheet><dxfs><dxf><fill><patternFill><bgColor rgb="FF00FF00"/></patternFill></fill></dxf><dxf/><dxf><fill><patternFill patternType="solid"><fgColor rgb="FFFF0000"/></patternFill></fill></dxf></dxfs></styleSheet>`
	table := plainWorkbook(t, rows+"|"+`<conditionalFormatting sqref="A2:C4">`+rule+`</conditionalFormatting>`, map[string]string{"xl/styles.xml": styles})
	var cells []string
	for _, r := range table.Sheets[0].Rows {
		for c := range r.Cells {
			switch r.Cells[c].Fill {
			case intake.RGB(0, 255, 0):
				cells = append(cells, fmt.Sprintf("%s%d", intake.Letters(c), r.N))
			case intake.RGB(255, 0, 0):
				cells = append(cells, fmt.Sprintf("%s%d!", intake.Letters(c), r.N))
			}
		}
	}
	return strings.Join(cells, " "), table.Findings
}

func TestConditionalFormats(t *testing.T) {
	expression := func(f string) string {
		return `<cfRule type="expression" priority="1" dxfId="0"><formula>` + strings.NewReplacer("<", "&lt;", ">", "&gt;", "&", "&amp;").Replace(f) + `</formula></cfRule>`
	}
	for rule, want := range map[string]string{
		expression(`$B2="sent"`):                   "A2 B2 C2",
		expression(`B2="sent"`):                    "A2",
		expression(`$A2>2`):                        "A3 B3 C3 A4 C4",
		expression(`AND($A2>=2,$A2<4,LEN($B2)=4)`): "A2 B2 C2",
		expression(`OR($A2=2,$A2=4)`):              "A2 B2 C2 A4 C4",
		expression(`NOT(ISBLANK($B2))`):            "A2 B2 C2 A3 B3 C3",
		expression(`ISNUMBER(SEARCH("OWES",$B2))`): "A3 B3 C3",
		expression(`ISNUMBER(FIND("OWES",$B2))`):   "",
		expression(`$B2&"!"="sent!"`):              "A2 B2 C2",
		expression(`MOD(ROW(),2)=0`):               "A2 B2 C2 A4 C4",
		expression(`LEFT($B2,4)="owes"`):           "A3 B3 C3",
		expression(`$C2>$A$1*20`):                  "A2 B2 C2 A4 C4",
		expression(`IF($A2=3,FALSE,$A2<>2)`):       "A4 C4",
		expression(`1/0`):                          "",
		expression(`-$A2+6=-(-2)`):                 "A4 C4",
		expression(`TRIM(RIGHT($B2,3))="20"`):      "A3 B3 C3",
		expression(`EXACT($B2,"Sent")`):            "A2 B2 C2",
		`<cfRule type="cellIs" operator="equal" priority="1" dxfId="0"><formula>"sent"</formula></cfRule>`:                      "B2",
		`<cfRule type="cellIs" operator="between" priority="1" dxfId="0"><formula>30</formula><formula>20</formula></cfRule>`:   "C2 C4",
		`<cfRule type="cellIs" operator="notBetween" priority="1" dxfId="0"><formula>3</formula><formula>40</formula></cfRule>`: "A2 B2 B3",
		`<cfRule type="cellIs" operator="lessThan" priority="1" dxfId="0"><formula>$A$3</formula></cfRule>`:                     "A2",
		`<cfRule type="containsText" text="s" priority="1" dxfId="0"><formula>x</formula></cfRule>`:                             "B2 B3",
		`<cfRule type="notContainsText" text="s" priority="1" dxfId="0"/>`:                                                      "A2 C2 A3 C3 A4 C4",
		`<cfRule type="beginsWith" text="OWES" priority="1" dxfId="0"/>`:                                                        "B3",
		`<cfRule type="endsWith" text="t" priority="1" dxfId="0"/>`:                                                             "B2",
		`<cfRule type="containsErrors" priority="1" dxfId="0"/>`:                                                                "C3",
		`<cfRule type="notContainsBlanks" priority="1" dxfId="0"/>`:                                                             "A2 B2 C2 A3 B3 C3 A4 C4",
		`<cfRule type="dataBar" priority="1"/>`:                                                                                 "",
		// The lower priority number wins, and stopIfTrue without a fill stops.
		`<cfRule type="cellIs" operator="greaterThan" priority="5" dxfId="0"><formula>0</formula></cfRule><cfRule type="cellIs" operator="equal" priority="2" dxfId="2"><formula>4</formula></cfRule><cfRule type="expression" priority="1" dxfId="1" stopIfTrue="1"><formula>$A2=2</formula></cfRule>`: "A3 B3 A4! C4",
	} {
		got, findings := conditional(t, rule)
		if got != want || len(findings) > 0 {
			t.Errorf("%s colours %q, want %q; findings %+v", rule, got, want, findings)
		}
	}
}

func TestConditionalFormatsThatAreTold(t *testing.T) {
	for _, rule := range []string{
		`<cfRule type="expression" priority="1" dxfId="0"><formula>COUNTIF($A$1:$A$9,A2)&gt;1</formula></cfRule>`,
		`<cfRule type="expression" priority="1" dxfId="0"><formula>A2&lt;TODAY()</formula></cfRule>`,
		`<cfRule type="expression" priority="1" dxfId="0"><formula>Other!A2=1</formula></cfRule>`,
		`<cfRule type="expression" priority="1" dxfId="0"><formula>Rate=1</formula></cfRule>`,
		`<cfRule type="expression" priority="1" dxfId="0"><formula>SEARCH("o*s",B2)</formula></cfRule>`,
		`<cfRule type="expression" priority="1" dxfId="0"><formula>A2=1 1</formula></cfRule>`,
		`<cfRule type="expression" priority="1" dxfId="0"><formula>` + repeat("(", 500) + `</formula></cfRule>`,
		`<cfRule type="expression" priority="1" dxfId="0"><formula>` + repeat("-", 500) + `1</formula></cfRule>`,
		`<cfRule type="expression" priority="1" dxfId="0"/>`,
		`<cfRule type="cellIs" operator="between" priority="1" dxfId="0"><formula>1</formula></cfRule>`,
		`<cfRule type="colorScale" priority="1"/>`,
		`<cfRule type="duplicateValues" priority="1" dxfId="0"/>`,
		`<cfRule type="timePeriod" priority="1" dxfId="0"/>`,
	} {
		got, findings := conditional(t, rule)
		if got != "" || len(findings) != 1 || findings[0].Rule != "xlsx.conditional" || findings[0].Cell != "A2:C4" || !findings[0].Doubt {
			t.Errorf("%.120s colours %q; findings %+v", rule, got, findings)
		}
	}
}

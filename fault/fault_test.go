package fault_test

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"solander/fault"
)

func TestErrorTellsWhereWhatAndMend(t *testing.T) {
	whole := fault.New(fault.Taken, "number %d is promised", 17).At("heron, %s", "12 × 16 in").ToMend("choose a free number")
	for want, err := range map[string]error{
		"heron, 12 × 16 in: number 17 is promised (choose a free number)": whole,
		"it is empty":          fault.Invalidf("title", "it is empty"),
		"100 % cotton: unsure": fault.New(fault.Refused, "unsure").At("%s", "100 % cotton"),
	} {
		if err.Error() != want {
			t.Errorf("got %q, want %q", err, want)
		}
	}
}

func TestCopiesLeaveTheFirstAlone(t *testing.T) {
	first := fault.New(fault.Invalid, "wrong")
	second := first.At("here").ToMend("do").In("field").Because(io.EOF)
	if *first != *fault.New(fault.Invalid, "wrong") {
		t.Errorf("the first became %+v", first)
	}
	if second.Where != "here" || second.Mend != "do" || second.Field != "field" || !errors.Is(second, io.EOF) {
		t.Errorf("the second is %+v", second)
	}
	if strings.Contains(second.Error(), "EOF") {
		t.Errorf("the cause is shown: %q", second)
	}
}

func TestCodes(t *testing.T) {
	seen := map[fault.Code]bool{}
	for _, code := range fault.Codes() {
		if code == "" || seen[code] {
			t.Errorf("code %q is empty or comes twice", code)
		}
		seen[code] = true
		err := fmt.Errorf("outer: %w", errors.Join(io.EOF, fault.New(code, "inner")))
		if fault.CodeOf(err) != code || !fault.Is(err, code) {
			t.Errorf("%q is found as %q", code, fault.CodeOf(err))
		}
	}
	if len(seen) != 12 {
		t.Errorf("%d codes, want 12", len(seen))
	}
	if fault.CodeOf(nil) != "" || fault.CodeOf(io.EOF) != fault.Internal {
		t.Errorf("nil is %q, another error %q", fault.CodeOf(nil), fault.CodeOf(io.EOF))
	}
	if fault.Is(nil, "") {
		t.Error("no error is a fault")
	}
}

func TestAllGathersEveryFault(t *testing.T) {
	var form fault.List
	if form.Err() != nil {
		t.Errorf("an empty list is %v", form.Err())
	}
	form.Check(true, "title", "it is empty", "give a title")
	form.Add(nil)
	if form.Err() != nil {
		t.Errorf("a list without faults is %v", form.Err())
	}
	form.Check(false, "title", "it is 100 % empty", "give a title")
	var inner fault.List
	inner.Add(fault.Invalidf("width", "no unit"))
	inner.Add(fault.Invalidf("height", "negative"))
	form.Add(fmt.Errorf("sheet: %w", inner.Err()))
	var fields []string
	for _, f := range fault.All(fmt.Errorf("form: %w", form.Err())) {
		fields = append(fields, f.Field+" "+f.What)
	}
	if got, want := strings.Join(fields, "; "), "title it is 100 % empty; width no unit; height negative"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if fault.All(nil) != nil {
		t.Error("nil has faults")
	}
	other := fault.All(io.EOF)
	if len(other) != 1 || other[0].Code != fault.Internal || !errors.Is(other[0], io.EOF) || strings.Contains(other[0].Error(), "EOF") {
		t.Errorf("another error gives %+v", other)
	}
}

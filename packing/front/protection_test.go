package front_test

import (
	"testing"

	"solander/packing/front"
)

func TestWordsOfProtection(t *testing.T) {
	soft, stiff, boxed := front.Soft, front.Stiff, front.Boxed
	for _, c := range []struct {
		a, b front.Protection
		want string
	}{
		{front.Protection{}, front.Protection{}, ""},
		{front.Protection{Packaging: boxed}, front.Protection{Packaging: stiff}, "a class stiffer"},
		{front.Protection{Packaging: boxed, Care: front.Covered}, front.Protection{Packaging: soft}, "2 classes stiffer, 2 steps better covered"},
		{front.Protection{Packaging: stiff, Care: front.Tracked}, front.Protection{Packaging: boxed, Care: front.Signed}, "a class softer, 2 steps less covered"},
	} {
		if got := c.a.Against(c.b); got != c.want {
			t.Errorf("%+v against %+v: %q, want %q", c.a, c.b, got, c.want)
		}
	}
	if !(front.Protection{Packaging: boxed, Care: front.Tracked}).AtLeast(front.Protection{Packaging: stiff}) || (front.Protection{Packaging: boxed}).AtLeast(front.Protection{Care: front.Tracked}) {
		t.Error("a carton that nobody tracks is at least as good as a tracked envelope")
	}
}

package bed

import (
	"strings"

	"solander/labelling"
)

func (b *Bed) CameBack(text string, commit bool) labelling.PostageReport {
	b.Helper()
	rep, err := labelling.PostageBack(b.Ctx, b.Studio, "plain", strings.NewReader(text), commit)
	b.Must(err)
	return rep
}

func (b *Bed) Labels() (out []string) {
	b.Helper()
	for _, id := range []int64{1, 2, 3} {
		for _, p := range b.Order(id).Parcels {
			out = append(out, string(p.State)+" "+p.Tracking+" "+p.Paid.Plain())
		}
	}
	return out
}

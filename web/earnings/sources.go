package earnings

import (
	"fmt"
	"net/url"

	"solander/earned"
	"solander/earnings"
	"solander/web/page"
)

// pieceLines are parts as they are shown.
func pieceLines(pieces []earned.Piece) []PieceLine {
	var out []PieceLine
	for _, x := range pieces {
		s := earnings.Sum{Known: x.Amount.Minor}
		if x.Estimated {
			s = earnings.Sum{Estimated: x.Amount.Minor}
		}
		l := PieceLine{Part: x.Part.Words(), Print: x.Print, Text: x.Text, Amount: cell(s, x.Amount.Currency), ByCard: x.ByCard}
		if !x.Day.IsZero() {
			l.Day = x.Day.Long()
		}
		for _, src := range x.Sources {
			l.From = append(l.From, sourceLink(src))
		}
		out = append(out, l)
	}
	return out
}

// sourceLink leads to where a part came from.
func sourceLink(s earned.Source) page.Link {
	to := ""
	switch s.Kind {
	case earned.FromOrder:
		to = "/orders/" + s.Key
	case earned.FromRun:
		to = fmt.Sprintf("/runs/%d", s.ID)
	case earned.FromEdition:
		to = fmt.Sprintf("/editions/%d", s.ID)
	case earned.FromParcel:
		to = fmt.Sprintf("/orders/%s#parcel-%d", s.Key, s.ID)
	case earned.FromCard:
		to = "/studio/cards/edit?" + url.Values{"id": {s.Key}, "service": {s.Service}}.Encode() + "#prices"
	case earned.FromFees:
		to = fmt.Sprintf("/studio/outlets/%d/fees", s.ID)
	case earned.FromClaim:
		to = fmt.Sprintf("/claims/%d", s.ID)
	case earned.FromGallery:
		to = fmt.Sprintf("/earnings/galleries/%d#%s", s.ID, s.Key)
	case earned.FromFair:
		to = fmt.Sprintf("/earnings/fairs/%d", s.ID)
	case earned.FromExchange:
		to = "/earnings/currencies?day=" + s.Key + "#gains"
	case earned.FromShelf:
		to = "/drawer"
	case earned.FromYear:
		to = fmt.Sprintf("/earnings/year/%d/entries?of=%s&month=%d&entry=%d", s.ID, s.Key, s.Month, s.Entry)
	}
	return page.LinkTo(to, s.Name)
}

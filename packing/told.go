package packing

import "strings"

// Told returns the words of a reason with the names that the problem gives its packaging, wraps and sheets in
// place of their ids: "stiff envelope 13 in × 17 in" for "envelope envelope-13x17". What has no name keeps
// its id. The ids are looked for only where a reason of the item's kind puts them.
func (p *Problem) Told(r Reason) string {
	text := r.Text
	for _, it := range p.Shelf {
		if it.Name == "" {
			continue
		}
		if rest, ok := strings.CutPrefix(text, string(it.Kind)+" "+it.ID+":"); ok {
			return it.Name + ":" + rest
		}
		for _, before := range []string{"piece of ", "pieces of "} {
			text = strings.Replace(text, before+it.ID+" needed", before+it.Name+" needed", 1)
		}
		if start, ok := strings.CutSuffix(text, " of "+it.ID); ok && r.Rule == "shelf.shared" {
			return start + " of " + it.Name
		}
		if r.Rule == "shelf.shared" {
			text = strings.Replace(text, " of "+it.ID+", there are", " of "+it.Name+", there are", 1)
		}
	}
	for _, w := range p.Wraps {
		if w.Name != "" && strings.HasPrefix(r.Rule, "house.") {
			text = replaceTail(text, ": the wrap "+w.ID+" is not allowed", ": the wrap “"+w.Name+"” is not allowed")
			text = replaceTail(text, ", "+w.ID+" is "+string(w.Shape), ", “"+w.Name+"” is "+string(w.Shape))
		}
		if rest, ok := strings.CutPrefix(text, w.ID+" is for "); ok && w.Name != "" {
			return w.Name + " is for " + rest
		}
	}
	for _, o := range p.Orders {
		for _, s := range o.Sheets {
			if rest, ok := strings.CutPrefix(text, "sheet "+s.ID+" may not "); ok && s.Note != "" {
				return s.Note + " may not " + rest
			}
		}
	}
	return text
}

// replaceTail puts other words in place of those at the end of a text; a text that ends otherwise stays.
func replaceTail(text, old, words string) string {
	if start, ok := strings.CutSuffix(text, old); ok {
		return start + words
	}
	return text
}

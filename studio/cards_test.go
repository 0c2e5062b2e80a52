package studio_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"solander/calendar"
	"solander/dayplan"
	"solander/order"
	"solander/studio"
	"solander/tariff"
)

// seriesCard is a card of one series that begins on a day of January 2031, with a service of each class, named by card and class.
func seriesCard(series string, day int, classes []string, replaces ...tariff.Replaced) dayplan.Card {
	c := dayplan.Card{Card: tariff.Card{ID: series, Series: series, Currency: "USD", From: calendar.Date(2031, 1, day), Replaces: replaces}}
	for _, class := range classes {
		c.Services = append(c.Services, tariff.Service{ID: series + "-" + class, Class: class})
	}
	c.Digest[0] = series[0]
	return c
}

func services(cards []dayplan.Card) (out []string) {
	for _, c := range cards {
		for _, s := range c.Services {
			out = append(out, s.ID)
		}
	}
	return out
}

// A card is what is left of it by another one that replaces a class of its services: nothing that goes by the cards of a day may
// name a service that is replaced.
func TestCardsForACutCard(t *testing.T) {
	set := studio.Settings{Currency: "USD", Address: order.Address{Country: "US"}}
	day := calendar.Date(2031, 2, 1)
	a := seriesCard("a", 1, []string{"ground", "express"})
	b := seriesCard("b", 2, []string{"ground"}, tariff.Replaced{Series: "a", Class: "ground"})
	c := seriesCard("c", 3, []string{"ground"}, tariff.Replaced{Series: "b", Class: "ground"})
	alone := studio.CardsFor([]dayplan.Card{a}, set, day)
	if got := services(alone); !slices.Equal(got, []string{"a-ground", "a-express"}) || alone[0].Digest != a.Digest {
		t.Errorf("a card that nothing replaces comes with %v", got)
	}
	got := studio.CardsFor([]dayplan.Card{a, b}, set, day)
	if diff := cmp.Diff([]string{"a-express", "b-ground"}, services(got)); diff != "" {
		t.Errorf("services of a replaced card (-want +got):\n%s", diff)
	}
	if len(a.Services) != 2 {
		t.Errorf("the card itself has now the services %v", a.Services)
	}
	// b is no more, and a keeps what it lost to b: the same two cards, but not the same prices as without b.
	with, without := studio.CardsFor([]dayplan.Card{a, b, c}, set, day), studio.CardsFor([]dayplan.Card{a, c}, set, day)
	if diff := cmp.Diff([]string{"a-express", "c-ground"}, services(with)); diff != "" {
		t.Errorf("services with a card that is replaced whole (-want +got):\n%s", diff)
	}
	if len(without) != 2 || with[0].Digest == without[0].Digest || with[1].Digest != without[1].Digest {
		t.Errorf("plans by %v and by %v would be kept as the same", services(with), services(without))
	}
	if before := studio.CardsFor([]dayplan.Card{a, b}, set, calendar.Date(2031, 1, 1)); !slices.Equal(services(before), []string{"a-ground", "a-express"}) {
		t.Errorf("before b begins there are %v", services(before))
	}
}

// The cards of a day are what tariff.Select leaves of them.
func TestCardsForAsSelected(t *testing.T) {
	set := studio.Settings{Currency: "USD", Address: order.Address{Country: "US"}}
	cut := 0
	rapid.Check(t, func(t *rapid.T) {
		var all []dayplan.Card
		var plain []tariff.Card
		names := []string{"a", "b", "c", "d"}
		classes := []string{"x", "y", "z"}
		for i, name := range names {
			var replaces []tariff.Replaced
			held := rapid.SliceOfNDistinct(rapid.SampledFrom(classes), 1, 3, rapid.ID[string]).Draw(t, "classes")
			from := rapid.IntRange(1, 9).Draw(t, "from")
			for range rapid.IntRange(0, 2).Draw(t, "replaces") {
				replaces = append(replaces, tariff.Replaced{Series: rapid.SampledFrom(names).Draw(t, "series"), Class: rapid.SampledFrom(classes).Draw(t, "class")})
			}
			switch i {
			case 0: // always loses something
				from, held = 1, classes
			case 1:
				from, replaces = 2, append(replaces, tariff.Replaced{Series: names[0], Class: "x"})
			}
			c := seriesCard(name, from, held, replaces...)
			all, plain = append(all, c), append(plain, c.Card)
		}
		day := calendar.Date(2031, 1, rapid.IntRange(2, 10).Draw(t, "day"))
		got := studio.CardsFor(all, set, day)
		var want []tariff.Card
		for _, c := range tariff.Select(plain, nil, day) {
			want = append(want, *c)
		}
		if len(got) != len(want) {
			t.Fatalf("%d cards, selected are %d", len(got), len(want))
		}
		for i := range got {
			if diff := cmp.Diff(want[i], got[i].Card, cmpopts.EquateComparable(calendar.Day{})); diff != "" {
				t.Fatalf("card %d (-selected +got):\n%s", i, diff)
			}
			if len(got[i].Services) < len(all[slices.IndexFunc(all, func(c dayplan.Card) bool { return c.ID == got[i].ID })].Services) {
				cut++
			}
		}
	})
	if cut == 0 {
		t.Errorf("no card lost a service: nothing was tested")
	}
}

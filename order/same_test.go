package order

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func party(id int64, name, email string, at ...Address) Party {
	return Party{Person: id, Name: name, Email: email, Addresses: at}
}

func street(line, code string) Address {
	return Address{Name: "x", Line1: line, City: "Cinder Gap", Region: "VA", Postcode: code, Country: "US"}
}

// Sources: RFC 5321, 2.4 and 4.1.2 (a domain is without regard to case; the local part may have one, and seldom does: common
// practice, no source); Unicode Standard Annex 15 for the forms of a letter; RFC 5233 for what a plus sign may mean to a provider,
// which is not looked at.
func TestKeys(t *testing.T) {
	for _, tc := range []struct {
		a, b string
		key  func(string) string
		same bool
	}{
		{"Ines@Post.EXAMPLE", " ines@post.example ", EmailKey, true},
		{"in.es@post.example", "ines@post.example", EmailKey, false},
		{"ines+prints@post.example", "ines@post.example", EmailKey, false},
		{"zo\u00eb@post.example", "ZOE\u0308@post.example", EmailKey, true},
		{"Zo\u00eb  \u00d8degård", "zoe odegard", NameKey, true},
		{"Zoe\u0308 Ødegård", "ZOË ØDEGÅRD", NameKey, true},
		{"O’Malley, Ann", "o'malley ann", NameKey, true},
		{"Straße", "STRASSE", NameKey, true},
		{"ﬁnn", "Finn", NameKey, true},
		{"Ann Lee", "Anne Lee", NameKey, false},
		{"山田 花子", "山田　花子", NameKey, true},
	} {
		if got := tc.key(tc.a) == tc.key(tc.b); got != tc.same {
			t.Errorf("%q and %q: same is %v", tc.a, tc.b, got)
		}
	}
	place := func(a, b Address, same bool) {
		t.Helper()
		if got := PlaceKey(a) == PlaceKey(b) && PlaceKey(a) != ""; got != same {
			t.Errorf("%+v and %+v: one place is %v", a, b, got)
		}
	}
	place(street("12 Quarry Lane", "24019"), street("12, quarry  LANE", "24019-1234"), true)
	place(street("12 Quarry Lane", "24019"), street("12 Quarry Lane", "24020"), false)
	place(street("12 Quarry Lane", "24019"), street("21 Quarry Lane", "24019"), false)
	place(street("", "24019"), street("", "24019"), false)
	place(Address{Line1: "9 Quay", City: "Dunmore", Country: "IE"}, Address{Line1: "9 quay", City: "DUNMORE", Country: "ie"}, true)
	place(Address{Line1: "9 Quay", City: "Dunmore", Country: "IE"}, Address{Line1: "9 Quay", City: "Dunmore", Country: "GB"}, false)
}

// The table of docs/guide.md, row by row.
func TestAlike(t *testing.T) {
	home, away := street("12 Quarry Lane", "24019"), street("3 Mill Road", "22030")
	for _, tc := range []struct {
		what string
		a, b Party
		like Likeness
		rule string
	}{
		{"e-mail and name", party(1, "Ines Halloran", "ines@post.example", home), party(2, "INES HALLORAN", "Ines@Post.example", away), Same, ByEmail},
		{"e-mail for want of a name", party(1, "ines@post.example", "ines@post.example"), party(2, "Ines Halloran", "ines@post.example"), Same, ByEmail},
		{"an initial", party(1, "E. Quill", "quill@post.example"), party(2, "Edda Quill", "quill@post.example"), Same, ByEmail},
		{"another initial", party(1, "O. Quill", "quill@post.example"), party(2, "Edda Quill", "quill@post.example"), Perhaps, ByMailAlone},
		{"an initial, and no e-mail", party(1, "E. Quill", "", home), party(2, "Edda Quill", "", home), Stranger, ""},
		{"a shared e-mail", party(1, "Ines Halloran", "both@post.example", home), party(2, "Odo Halloran", "both@post.example", home), Perhaps, ByMailAlone},
		{"name and address", party(1, "Ines Halloran", "", home), party(2, "Ines Halloran", "ines@post.example", away, home), Same, ByAddress},
		{"name and address, two e-mails", party(1, "Ines Halloran", "a@post.example", home), party(2, "Ines Halloran", "b@post.example", home), Perhaps, ByOtherMail},
		{"name, and nothing else", party(1, "Ines Halloran", ""), party(2, "Ines Halloran", "ines@post.example", home), Perhaps, ByNameAndLess},
		{"name, two addresses", party(1, "Ines Halloran", "", home), party(2, "Ines Halloran", "ines@post.example", away), Namesake, ByName},
		{"name, two e-mails", party(1, "Ines Halloran", "a@post.example"), party(2, "Ines Halloran", "b@post.example"), Stranger, ""},
		{"address alone", party(1, "Ines Halloran", "", home), party(2, "Odo Halloran", "", home), Stranger, ""},
		{"no names", party(1, "", "", home), party(2, "", "", home), Stranger, ""},
	} {
		if like, rule := Alike(tc.a, tc.b); like != tc.like || rule != tc.rule {
			t.Errorf("%s: %v by %q", tc.what, like, rule)
		}
	}
}

func TestDecide(t *testing.T) {
	home := street("12 Quarry Lane", "24019")
	ines := party(0, "Ines Halloran", "ines@post.example", home)
	nobody := func(int64, int64) bool { return false }
	everybody := func(a, b int64) bool { return a != b }
	for _, tc := range []struct {
		what  string
		rule  BuyerRule
		book  []Party
		apart func(int64, int64) bool
		want  Decision
	}{
		{"an empty book", TakeSame, nil, nobody, Decision{}},
		{"taken", TakeSame, []Party{party(7, "ines halloran", "INES@post.example")}, nobody, Decision{Take: 7, Rule: ByEmail}},
		{"only proposed", ProposeSame, []Party{party(7, "ines halloran", "INES@post.example")}, nobody, Decision{Maybe: []int64{7}}},
		{"always new", AlwaysNew, []Party{party(7, "ines halloran", "INES@post.example")}, nobody, Decision{}},
		{"another name", TakeSame, []Party{party(7, "Odo Halloran", "ines@post.example", home)}, nobody, Decision{Maybe: []int64{7}}},
		{"whose name is written out", TakeSame, []Party{party(3, "I. Halloran", "ines@post.example", home), party(7, "Ines Halloran", "ines@post.example")}, nobody, Decision{Take: 7, Rule: ByEmail, Maybe: []int64{3}}},
		{"two writings of one", TakeSame, []Party{party(7, "Odo", "odo@post.example"), party(7, "Ines Halloran", "ines@post.example")}, nobody, Decision{Take: 7, Rule: ByEmail}},
		{"the one who also lives there", TakeSame, []Party{party(3, "Ines Halloran", "ines@post.example"), party(7, "Ines Halloran", "ines@post.example", home)}, nobody, Decision{Take: 7, Rule: ByEmail, Maybe: []int64{3}}},
		{"the older one", TakeSame, []Party{party(9, "Ines Halloran", "ines@post.example"), party(4, "Ines Halloran", "ines@post.example")}, nobody, Decision{Take: 4, Rule: ByEmail, Maybe: []int64{9}}},
		{"two who were told apart", TakeSame, []Party{party(9, "Ines Halloran", "ines@post.example"), party(4, "Ines Halloran", "ines@post.example")}, everybody, Decision{Maybe: []int64{4, 9}}},
		{"taken, and told apart from the other", TakeSame, []Party{party(9, "Ines Halloran", "ines@post.example"), party(4, "Odo Halloran", "ines@post.example")}, everybody, Decision{Take: 9, Rule: ByEmail}},
		{"a name from a sales book", TakeByName, []Party{party(5, "Ines Halloran", "")}, nobody, Decision{Take: 5, Rule: ByNameAndLess}},
		{"the same at another door", TakeSame, []Party{party(5, "Ines Halloran", "")}, nobody, Decision{Maybe: []int64{5}}},
		{"two of that name", TakeByName, []Party{party(5, "Ines Halloran", ""), party(6, "Ines Halloran", "")}, nobody, Decision{Several: []int64{5, 6}, Maybe: []int64{5, 6}}},
	} {
		if diff := cmp.Diff(tc.want, Decide(tc.rule, ines, tc.book, tc.apart)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tc.what, diff)
		}
	}
}

// Whatever is in the book: the comparison has no sides, the order in which the book is read does not matter, nobody is both taken
// and proposed, and only who is taken or proposed by the rule is.
func TestDecideLaws(t *testing.T) {
	person := rapid.Custom(func(t *rapid.T) Party {
		p := party(rapid.Int64Range(1, 4).Draw(t, "person"), rapid.SampledFrom([]string{"Ann Lee", "ann lée", "Bo Lee", "a@post.example"}).Draw(t, "name"),
			rapid.SampledFrom([]string{"", "a@post.example", "A@POST.example", "b@post.example"}).Draw(t, "email"))
		for range rapid.IntRange(0, 2).Draw(t, "addresses") {
			p.Addresses = append(p.Addresses, street(rapid.SampledFrom([]string{"1 Lane", "2 Lane"}).Draw(t, "line"), "24019"))
		}
		return p
	})
	rapid.Check(t, func(t *rapid.T) {
		in, book := person.Draw(t, "in"), rapid.SliceOfN(person, 0, 6).Draw(t, "book")
		rule := rapid.SampledFrom([]BuyerRule{TakeSame, ProposeSame, AlwaysNew, TakeByName}).Draw(t, "rule")
		odd := rapid.Bool().Draw(t, "apart")
		apart := func(a, b int64) bool { return odd && (a+b)%2 == 1 }
		d := Decide(rule, in, book, apart)
		turned := Decide(rule, in, rapid.Permutation(book).Draw(t, "turned"), apart)
		if diff := cmp.Diff(d, turned); diff != "" {
			t.Fatal(diff)
		}
		best := map[int64]Likeness{}
		for _, p := range book {
			l, r := Alike(in, p)
			back, rb := Alike(p.Ready(), in.Ready()) // made ready they are the same
			if l != back || r != rb {
				t.Fatalf("%+v and %+v: %v %s, and %v %s the other way", in, p, l, r, back, rb)
			}
			best[p.Person] = max(best[p.Person], l)
		}
		if d.Take != 0 && (rule == ProposeSame || rule == AlwaysNew || rule == TakeSame && best[d.Take] != Same || best[d.Take] == Stranger) {
			t.Fatalf("%d is taken by %s", d.Take, rule)
		}
		for _, m := range d.Maybe {
			if m == d.Take || best[m] < Perhaps || rule == AlwaysNew {
				t.Fatalf("%d is proposed: %+v", m, d)
			}
		}
	})
}

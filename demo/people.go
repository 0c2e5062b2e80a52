package demo

import "solander/order"

// place is a town of the invented world. Towns and streets are invented; ZIP codes only place a parcel
// in a zone.
type place struct {
	city, region, postcode, country string
	streets                         []string
	given, family                   []string
}

var (
	usStreets = []string{
		"Quince Lane", "Tannery Row", "Lower Ferry Road", "Millrace Street", "Cobbler's Hill", "Juniper Court", "Old Orchard Way",
		"Lantern Street", "Weir Road", "Sparrow Alley", "North Kiln Street", "Bellfounder Road", "Hazel Steps", "Chandler Square", "Mossbank Drive",
	}
	usGiven = []string{
		"Ines", "Corbin", "Delphine", "Marguerite", "Tobias", "Odalys", "Harlan", "Priya", "Wendell", "Amara", "Lucinda", "Everett",
		"Noor", "Sylvie", "Thaddeus", "Marisol", "Jonas", "Beatrix", "Kwame", "Rosalind", "Ansel", "Yolanda", "Felix", "Imogen", "Rafael", "Tamsin", "Oren", "Cordelia",
	}
	usFamily = []string{
		"Halloran", "Pettibone", "Okonjo", "Lindquist", "Marchand", "Ashgrove", "Vantresca", "Delacroy", "Thistlewood", "Ramasundar", "Quillan",
		"Bramhall", "Oyelaran", "Castellane", "Winterbourn", "Farrowdale", "Iversby", "Marrable", "Tolliver", "Hexham", "Sandoval", "Penhallow", "Kessler",
		"Abernethy", "Lockridge", "Yarborough", "Dunmore", "Esterhaz",
	}
)

// homes are the towns within the country of the studio, one of each distance and more of the nearer.
var homes = []place{
	us("Cinder Gap", "VA", "24019"), us("Harrow Mills", "VA", "24153"), us("Stillwater Cross", "VA", "24401"), us("Quarrel Creek", "NC", "27514"),
	us("Alder Notch", "MD", "21201"), us("Pinfold", "PA", "19103"), us("Eastlantern", "NY", "11215"), us("Carver's Landing", "MA", "02139"),
	us("Upper Thistle", "VT", "05401"), us("Peachmoor", "GA", "30307"), us("Sawgrass Point", "FL", "33133"), us("Hollow Bend", "TN", "37206"),
	us("Olentine", "OH", "43202"), us("Huronfield", "MI", "48104"), us("Lakeshore Yard", "IL", "60618"), us("Frostford", "MN", "55408"),
	us("Bellwether", "MO", "63110"), us("Cypress Levee", "LA", "70117"), us("Pecan Rise", "TX", "78704"), us("Flint Prairie", "CO", "80218"),
	us("Saltbush Wash", "AZ", "85004"), us("Fir Harbor", "OR", "97214"), us("Salmon Stair", "WA", "98107"), us("Fogbank", "CA", "94110"), us("Koa Landing", "HI", "96816"),
}

func us(city, region, zip string) place {
	return place{city, region, zip, "US", usStreets, usGiven, usFamily}
}

// abroad are the towns elsewhere, with names and postcodes as people there write them.
var abroad = []place{
	{"Pinder Bay", "ON", "K7L 3N6", "CA", []string{"Rue du Quai", "Tamarack Crescent"}, []string{"Geneviève", "Alistair"}, []string{"Bouffard-Roy", "Macready"}},
	{"Thornwick Staithe", "", "NR23 1QX", "GB", []string{"Sluice Cottages", "Rectory Loke"}, []string{"Philippa", "Rhodri"}, []string{"Garsdale", "Prydderch"}},
	{"Lindenwehr", "", "01277", "DE", []string{"Mühlgräbchen", "Am Alten Speicher"}, []string{"Jörg", "Annegret"}, []string{"Süßenbach", "Vöhringer"}},
	{"Courval-sur-Ise", "", "21390", "FR", []string{"rue des Tilleuls", "impasse du Lavoir"}, []string{"Maëlle", "Théo"}, []string{"Garançon", "Lefranquet"}},
	{"Oudermeer", "", "1862 KD", "NL", []string{"Achterdijkje", "Zwaluwkade"}, []string{"Zoë", "Joris"}, []string{"van Ommerdrecht", "Stellingwaard"}},
	{"Kitanoura", "", "998-0852", "JP", []string{"Minatomachi 3-chōme", "Asahidai 1-chōme"}, []string{"Aiko", "Haruki"}, []string{"Tanabeshima", "Moriwakida"}},
	{"Callan Creek", "VIC", "3460", "AU", []string{"Stringybark Road", "Bracken Walk"}, []string{"Lorna", "Declan"}, []string{"Whitlock-Bray", "Tarrawell"}},
	{"Älvsunda", "", "931 62", "SE", []string{"Björkstigen", "Sågverksvägen"}, []string{"Åsa", "Göran"}, []string{"Strömhagen", "Öhrvallen"}},
	{"Łęgowa Dolina", "", "58-310", "PL", []string{"ulica Źródlana", "ulica Młyńska"}, []string{"Łucja", "Żegota"}, []string{"Wierzbowiecka", "Gołębnik"}},
}

// buyerAt invents a buyer of a town with an address.
func (g *gen) buyerAt(p place) (order.Buyer, order.Address) {
	given, family := pick(g, p.given), pick(g, p.family)
	b := order.Buyer{Name: given + " " + family}
	if g.chance(70) {
		b.Email = g.mail(given, family)
	}
	a := order.Address{Name: b.Name, Line1: g.street(p), City: p.city, Region: p.region, Postcode: p.postcode, Country: p.country}
	if g.chance(12) {
		a.Line2 = "Apt " + itoa(1+g.below(40))
	}
	return b, a
}

// street writes a house number where the country writes it.
func (g *gen) street(p place) string {
	n := itoa(1 + g.below(180))
	switch p.country {
	case "US", "CA", "GB", "AU", "FR":
		return n + " " + pick(g, p.streets)
	}
	return pick(g, p.streets) + " " + n
}

// mail makes an address under a domain that RFC 2606 keeps for examples.
func (g *gen) mail(given, family string) string {
	return plain(given) + "." + plain(family) + itoa(10+g.below(89)) + "@" + pick(g, []string{"example.org", "example.net", "mail.example"})
}

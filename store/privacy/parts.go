// Package privacy knows of every column of every table whether it is about a buyer: that is said once, here. By it all that is
// kept of a buyer is read, and she is erased: what is about her is blanked wherever it stands, what the books and the register need
// stays. It holds no rule on when somebody may be erased.
package privacy

import (
	"slices"
	"strings"

	"solander/order"
	"solander/upkeep"
)

// column is one column with its class.
type column struct {
	name  string
	class upkeep.KeptClass
	stays string // of what is personal: why it stays; "" = it is blanked
	blank string // what stands there then
	free  bool   // it holds words that people typed, in which others may be named
	data  bool   // it holds JSON
	seal  bool   // it is kept in cipher where she chose that
}

// part is a table: how its rows are told apart, which of them are hers, and its columns.
type part struct {
	table   string
	what    string // in plain words
	key     string // "id", or several parted by ", "
	hers    string // a condition; "" = none, or they are found by what stands in them
	fixed   bool   // its rows stand for good: they are blanked as erasures say
	columns []column
}

// Erased stands where words were that somebody typed.
const Erased = "(erased)"

// Why something personal stays.
const (
	forTax    = "tax and customs go by the country and state of delivery"
	forBooks  = "it is the number by which the books and the outlet know the sale; it names nobody"
	forAgain  = "it keeps a row from being taken for a new sale when its file comes in again; it cannot be read back"
	byNumbers = "it is what was sold, and is needed by the register and the books"
)

func of(class upkeep.KeptClass, names string, c column) []column {
	var out []column
	for _, n := range strings.Fields(names) {
		x := c
		x.name, x.class = n, class
		out = append(out, x)
	}
	return out
}

func plain(names string) []column      { return of(upkeep.KeptPlain, names, column{}) }
func secret(names string) []column     { return of(upkeep.KeptSecret, names, column{seal: true}) }
func hashed(names string) []column     { return of(upkeep.KeptSecret, names, column{}) } // it cannot be read back, or is good for minutes: never in cipher
func personal(names string) []column   { return of(upkeep.KeptPersonal, names, column{seal: true}) }
func readable(names string) []column   { return of(upkeep.KeptPersonal, names, column{}) } // never in cipher: it is looked up as it stands
func stays(names, why string) []column { return of(upkeep.KeptPersonal, names, column{stays: why}) }

func free(names, blank string) []column {
	return of(upkeep.KeptPersonal, names, column{free: true, blank: blank, seal: true})
}

func wording(names string) []column {
	return of(upkeep.KeptWords, names, column{free: true, blank: Erased})
}

func data(columns []column) []column {
	for i := range columns {
		columns[i].data = true
	}
	return columns
}

func name(names string) []column {
	return of(upkeep.KeptPersonal, names, column{blank: order.ErasedName, seal: true})
}

// Conditions on rows; $1 is the buyer.
const (
	herself    = `(SELECT id FROM buyers WHERE id = $1 OR same_as = $1)`
	herOrders  = `(SELECT id FROM orders WHERE buyer IN ` + herself + `)`
	herMarks   = `(SELECT mark FROM orders WHERE buyer IN ` + herself + `)`
	herLines   = `(SELECT id FROM lines WHERE order_id IN ` + herOrders + `)`
	herParcels = `(SELECT id FROM parcels WHERE order_id IN ` + herOrders + ` UNION SELECT parcel FROM lines WHERE order_id IN ` + herOrders + ` AND parcel IS NOT NULL)`
	herClaims  = `(SELECT id FROM claims WHERE parcel IN ` + herParcels + `)`
	herPhotos  = `(SELECT id FROM claim_photos WHERE claim IN ` + herClaims + `)`
)

func cols(lists ...[]column) []column { return slices.Concat(lists...) }

// parts are all tables of the schema, those of both engines alone too.
var parts = []part{
	{table: "settings", what: "the studio's settings", key: "id", columns: plain("id body")}, // the studio's own name and address; of secrets, hashes
	{table: "counters", what: "the numbers given last", key: "name", columns: plain("name value")},
	{table: "outlets", what: "outlets", key: "id", columns: plain("id name fees promise_days collects_tax price_inc_post closed")},
	{table: "cards", what: "price cards", key: "id", columns: plain("id card")},
	{table: "works", what: "works", key: "id", columns: cols(plain("id title year"), wording("note"))},
	{table: "pictures", what: "pictures of works", key: "work", columns: cols(plain("work digest small_width small_height middle_width middle_height large_width large_height at who"), wording("alt"))},
	{table: "picture_bodies", what: "pictures of works", key: "work, size", columns: plain("work size body")},
	{table: "editions", what: "editions", key: "id", columns: plain("id work width height paper grammage caliper grade technique declared_limit ap pp hc bat tightest_roll price price_currency price_steps print_cost print_cost_currency declared closed")},
	{table: "sayings", what: "what is said of editions", key: "id", columns: plain("id edition fact said words day at who")},
	{table: "closings", what: "that editions were closed or cancelled", key: "id", columns: plain("id edition fact files note withdrawn day at who")},
	{table: "certificates", what: "certificates of prints", key: "id", columns: plain("id edition kind number code facts key place before day at who")},
	{table: "certificate_ends", what: "certificates that were revoked or replaced", key: "id", columns: cols(plain("id certificate followed_by"), plain("reason day at who"))},
	{table: "transfers", what: "what owners told of prints", key: "id", columns: plain("id edition kind number certificate told kept day at who")},
	{table: "transfer_names", what: "who told it", key: "transfer", columns: cols(plain("transfer"), wording("words"))},
	{table: "buyers", what: "who she is", key: "id", hers: "id IN " + herself, columns: cols(plain("id same_as apart"), name("name"), personal("email phone"), free("note", ""))},
	{table: "told_apart", what: "whom she is not", key: "a, b", hers: "a IN " + herself + " OR b IN " + herself, columns: plain("a b")},
	{table: "person_words", what: "her name and e-mail address as buyers are compared", key: "id", hers: "id IN " + herself, columns: cols(plain("id"), readable("name email"))},
	{table: "orders", what: "her orders", key: "id", hers: "buyer IN " + herself, columns: cols(
		plain("id outlet buyer placed promised arrive_by postage postage_currency tax tax_currency tax_by_outlet fee fee_currency state overridden override_at override_who closed_on in_person"),
		plain("chosen choice_by choice_packaging choice_care choice_at choice_who waits wait"),
		stays("mark ref", forBooks), stays("ship_region ship_country", forTax),
		name("ship_name said_name"), personal("ship_line1 ship_line2 ship_city ship_postcode said_email said_phone"),
		free("note gift_message", ""), free("override_reason choice_reason", Erased))},
	{table: "hand_overs", what: "the days on which parcels of hers left the house", key: "id", hers: "id IN (SELECT hand_over FROM parcels WHERE id IN " + herParcels + ")", columns: cols(plain("id day"), wording("note"))},
	{table: "parcels", what: "her parcels", key: "id", hers: "id IN " + herParcels, columns: cols(
		plain("id order_id lines state plan warnings service estimated estimated_currency paid paid_currency packed_on labelled_on handed_over_on hand_over wrap wrap_mass bare_mass weighed"),
		readable("tracking"))},
	{table: "lines", what: "the prints that she ordered", key: "id", hers: "id IN " + herLines, columns: cols(
		plain("id order_id edition dropped signed sent signed_on parcel"), plain("kind number price price_currency"))},
	{table: "payments", what: "what she paid", key: "id", hers: "order_id IN " + herOrders, fixed: true, columns: cols(plain("id order_id kind amount currency day reversed fee fee_currency how"), free("note", Erased))},
	{table: "bills", what: "her receipts, invoices and credit notes", key: "id", hers: "order_id IN " + herOrders, columns: cols(
		plain("id kind number day order_id corrects net net_currency tax tax_currency total total_currency at who"), name("to_name"), personal("to_lines"),
		wording("reason"), stays("body", forBooks))},
	{table: "tax_rates", what: "rates of tax", key: "id", columns: cols(plain("id country region from_day rate postage inside name"), wording("source"))},
	{table: "resales", what: "certificates by which she buys for resale", key: "id", hers: "buyer IN " + herself, columns: cols(
		plain("id buyer country region from_day until_day"), of(upkeep.KeptPersonal, "number", column{free: true, blank: Erased, seal: true}))},
	{table: "impressions", what: "the numbers that she has", key: "edition, kind, number", hers: "line IN " + herLines + " OR sent_mark IN " + herMarks, columns: cols(
		plain("edition kind number state line signed struck turn available day signed_on"), stays("sent_mark", byNumbers))},
	{table: "register", what: "what the register says of her numbers", key: "seq", hers: "line IN " + herLines + " OR order_mark IN " + herMarks, fixed: true, columns: cols(
		plain("seq edition kind number turn step state line signed struck day at who undoes"), stays("order_mark", byNumbers), wording("note"))},
	{table: "logs", what: "the logs of the register", key: "id", columns: plain("id origin first at")},
	{table: "leaves", what: "the leaves of the register's log, in which people stand as salted commitments alone", key: "id", columns: plain("id kind of_id body salts hashes root")},
	{table: "checkpoints", what: "what was signed of the register's log", key: "id", columns: plain("id log size at body")},
	{table: "tallies", what: "counts of numbers", key: "edition", columns: plain("edition free promised signed sent returned spoilt kept withdrawn consigned sold held")},
	{table: "touched", what: "rows that a write that is under way touched", key: "part, k1, k2, k3", columns: plain("part k1 k2 k3")},
	{table: "row_digests", what: "digests of rows", key: "part, k1, k2, k3", columns: plain("part k1 k2 k3 digest sealed mark")},
	{table: "row_sums", what: "sums by which the rows are vouched for", key: "id", columns: plain("id of_key body")},
	{table: "row_forms", what: "by which columns digests are made", key: "part", columns: plain("part columns sealed")},
	{table: "runs", what: "orders from labs", key: "id", columns: cols(plain("id edition lab ordered expected quantity unit_cost unit_cost_currency closed"), wording("note"))},
	{table: "receipts", what: "what labs sent", key: "id", columns: cols(plain("id run day good rejected"), wording("note"))},
	{table: "shelf", what: "the shelf", key: "id", columns: plain("id key spec reorder_at pack retired coming expected")},
	{table: "moves", what: "moves of stock", key: "id", fixed: true, columns: cols(plain("id kind item delta day at who cause line parcel run cost cost_currency consignment"), wording("reason"))},
	{table: "stocks", what: "stock", key: "kind, item", columns: plain("kind item qty")},
	{table: "entry_lines", what: "what the journal of the books says of her orders", key: "entry, place", hers: "order_id IN " + herOrders, columns: plain("entry place account amount currency order_id line edition outlet run")},
	{table: "entries", what: "journal entries about her orders", key: "id", hers: "id IN (SELECT entry FROM entry_lines WHERE order_id IN " + herOrders + ")", columns: cols(
		plain("id day true_day subject subject_id part at who"), stays("text", forBooks))},
	{table: "entry_sums", what: "sums of the journal", key: "month, account, currency, outlet, edition", columns: plain("month account currency outlet edition amount")},
	{table: "earned_sums", what: "sums of what her orders earned", key: "day, order_id, line, edition, outlet, currency", hers: "order_id IN " + herOrders, columns: plain("day order_id line edition outlet currency sold remains tax outlet_tax " +
		"price postage_charged other_income came_back paid_back sheets reprints packaging postage outlet_fees payment_fees gallery_shares fair_costs cash_box claims minutes other_costs")},
	{table: "order_sums", what: "what is left of her orders", key: "order_id", hers: "order_id IN " + herOrders, columns: plain("order_id buyer state remains again owed")},
	{table: "lot_sums", what: "sums of what she brought", key: "lot, period, id, text, currency", hers: "lot = 'buyer' AND id IN " + herself, columns: plain("lot period id text currency prints remains " +
		"price postage_charged other_income came_back paid_back sheets reprints packaging postage outlet_fees payment_fees gallery_shares fair_costs cash_box claims minutes other_costs")},
	{table: "closed_periods", what: "closed periods", key: "id", columns: plain("id until at who")},
	{table: "account_names", what: "what accounts are called", key: "account", columns: plain("account name")},
	{table: "layers", what: "what stocks cost", key: "id", columns: plain("id kind item run move pieces cost cost_currency remaining remaining_cost")},
	{table: "layer_uses", what: "what moves of stock cost", key: "move, place", columns: plain("move place layer pieces cost currency cause line parcel consignment")},
	{table: "marks", what: "the journal of her orders", key: "id", hers: "order_id IN " + herOrders, columns: cols(plain("id order_id kind day at who undone"), free("text", ""), data(free("detail", "")))},
	{table: "sent_forms", what: "forms that were sent, as check sums", key: "id", columns: plain("id key print mark at")},
	{table: "hook_mappings", what: "how programs' messages are read", key: "id", columns: plain("id name body")},
	{table: "feeds", what: "other programs' ways in", key: "id", columns: cols(plain("id name outlet scopes mapping made_at used_at revoked_at buyers"), hashed("token_hash"))},
	{table: "feed_secrets", what: "secrets of web-hooks", key: "id", columns: cols(plain("id feed made_at"), secret("secret"))},
	{table: "feed_answers", what: "what programs were answered about her orders", key: "feed, key", columns: cols(plain("feed key print at seq age"), data(free("answer", "")))},
	{table: "feed_messages", what: "messages of web-hooks, as check sums", key: "feed, print", columns: plain("feed print at seq age")},
	{table: "feed_time", what: "the feeds' own time", key: "id", columns: plain("id seq age last_at")},
	{table: "arrivals", what: "files that wait", key: "id", columns: cols(plain("id hash size source mapping at until who"), wording("name note"), data(free("answers", "")))},
	{table: "arrival_parts", what: "the bytes of files that wait", key: "arrival, part", columns: cols(plain("arrival part"), personal("body"))},
	{table: "mappings", what: "saved readings", key: "name", columns: plain("name body")},
	{table: "intakes", what: "the files that her orders came from", key: "id", hers: "id IN (SELECT intake FROM origins WHERE order_id IN " + herOrders + ")", fixed: true, columns: cols(
		plain("id hash mapping made day at who back_day back_at back_who"), wording("name back_why"))},
	{table: "origins", what: "the rows that her orders were made of, word for word", key: "order_id, place", hers: "order_id IN " + herOrders, fixed: true, columns: cols(
		plain("order_id place intake sheet sheet_row fill gone"), stays("hash", forAgain), data(free("cells", "[]")))},
	{table: "persons", what: "who may sign in", key: "id", columns: cols(plain("id name role handle password_until totp_step made_at ended_at"), hashed("password"), secret("totp"))}, // the studio's own people, who are no buyers
	{table: "device_keys", what: "devices that were let in", key: "id", columns: cols(plain("id person name most made_at seen_at proved_at revoked_at"), hashed("hash"))},
	{table: "passkeys", what: "public keys by which people sign in", key: "id", columns: plain("id person name site credential body made_at used_at")},
	{table: "recovery_codes", what: "codes for who lost the second factor, as hashes", key: "person, hash", columns: cols(plain("person"), hashed("hash"), plain("used_at"))},
	{table: "sessions", what: "browsers that are signed in", key: "id", columns: cols(plain("id person browser made_at seen_at proved_at"), hashed("hash"))},
	{table: "sign_in_failures", what: "attempts to sign in that failed", key: "subject", columns: cols(hashed("subject"), plain("count last_at"))},
	{table: "ceremonies", what: "first halves of uses of passkeys", key: "key", columns: cols(hashed("key body"), plain("until_at"))},
	{table: "phone_codes", what: "codes that let one phone in, as hashes", key: "id", columns: cols(plain("id person most made_at ends_at tries used_at phone"), hashed("hash"))},
	{table: "phone_keys", what: "how the keys of phones turn", key: "device", columns: cols(plain("device turned_at settled cloned_at hidden"), hashed("family before"))},
	{table: "erasures", what: "that a buyer was erased", key: "id", hers: "buyer IN " + herself, columns: plain("id buyer why day at who cells")},
	{table: "exchange_rates", what: "rates of exchange", key: "id", columns: plain("id base quote day rate source at who")},
	{table: "agreements", what: "what was agreed of her orders in another currency", key: "id", hers: "order_id IN " + herOrders, columns: plain("id order_id total total_currency book book_currency rate day at who")},
	{table: "foreign_payments", what: "her payments as they came in another currency", key: "id", hers: "order_id IN " + herOrders, columns: plain("id payment order_id came came_currency worth worth_currency rate at who")},
	{table: "fair_days", what: "days at a table", key: "id", columns: cols(plain("id outlet day name till_float till_float_currency ended counted counted_currency minutes dropped at who"), wording("why"))},
	{table: "fair_costs", what: "costs of days at a table", key: "id", columns: cols(plain("id fair_day kind amount amount_currency from_box reversed at who"), wording("note"))},
	{table: "fair_carries", what: "cash of days at a table carried to the bank", key: "id", columns: cols(plain("id fair_day amount amount_currency day reversed at who"), wording("note"))},
	{table: "galleries", what: "galleries", key: "id", columns: cols(plain("id name address email outlet share wholesale bears pay_days closed"), wording("note"))}, // houses, no buyers
	{table: "consignments", what: "prints at galleries", key: "id", columns: cols(plain("id gallery edition kind number turn price price_currency share bears went due state ended sold sold_currency kept kept_currency at who"), wording("why"))},
	{table: "gallery_moneys", what: "money of galleries", key: "id", columns: cols(plain("id gallery kind amount amount_currency day reversed at who"), wording("note"))},
	{table: "claims", what: "claims on operators for her parcels", key: "id", hers: "id IN " + herClaims, columns: cols(
		plain("id parcel order_id kind lines losses told state filed claimed claimed_currency answered granted granted_currency paid_on paid paid_currency ended made made_on instead turn at who"),
		free("reference", ""), free("above answer note", Erased))},
	{table: "claim_photos", what: "photos of damage to her parcels", key: "id", hers: "id IN " + herPhotos, columns: cols(plain("id claim digest width height at who"), free("alt", Erased))},
	{table: "claim_photo_bodies", what: "photos of damage to her parcels", key: "id", hers: "id IN " + herPhotos, columns: cols(plain("id"), personal("body"))},
	{table: "payouts", what: "what outlets paid out", key: "id", columns: cols(plain("id outlet net net_currency day taken_back at who"), wording("note"))},
	{table: "payout_parts", what: "what payouts of outlets said of her orders", key: "payout, order_id", hers: "order_id IN " + herOrders, columns: plain(
		"payout order_id gross gross_currency was was_currency fee fee_currency payment_fees payment_fees_currency noted taken_back")},
	{table: "bank_accounts", what: "the studio's accounts at banks", key: "id", columns: plain("id name number currency mapping")},
	{table: "bank_files", what: "files of the bank that were brought in", key: "id", columns: cols(plain("id account hash kind lines known day at who"), wording("name"))},
	{table: "bank_lines", what: "what the bank says of her payments", key: "id", hers: "payment IN (SELECT id FROM payments WHERE order_id IN " + herOrders + ")", columns: cols(
		plain("id account file day amount amount_currency state payment said_at who payout gallery_money claim fair_carry"), stays("known_by", forAgain), stays("ref", forBooks), free("name note", Erased), wording("why"))},
	{table: "blanked", what: "rows that an erasure blanked", key: "part, row_id", columns: plain("part row_id erasure")},
	{table: "vault", what: "what is kept in cipher", key: "id", columns: plain("id secrets people turning proof itself")},
	{table: "schema_versions", what: "the form of the tables", key: "id", columns: plain("id version_id is_applied tstamp")},
	{table: "rota_lease", what: "who does the scheduled work", key: "id", columns: plain("id holder fence beat lasts")},
	{table: "rota_jobs", what: "scheduled work", key: "name", columns: plain("name rule due asked began ended good failures said")},
	{table: "identity", what: "which studio it is", key: "id", columns: plain("id mark")},
	{table: "copying", what: "what copies go by", key: "id", columns: plain("id body")},
	{table: "left_for", what: "that the studio was left for another computer", key: "id", columns: plain("id at who file")},
	{table: "high_water", what: "how often the file was written", key: "id", columns: plain("id writes")},
	{table: "order_words", what: "words by which orders are found", key: "id", columns: cols(plain("id"), readable("words"))},
	{table: "buyer_words", what: "words by which buyers are found", key: "id", columns: cols(plain("id"), readable("words"))},
}

func partOf(table string) *part {
	i := slices.IndexFunc(parts, func(p part) bool { return p.table == table })
	return &parts[i]
}

// keys are the columns by which rows are told apart.
func (p *part) keys() []string { return strings.Split(p.key, ", ") }

// Sealed reports whether a column is kept in cipher where that is chosen: of secrets, or of people.
func Sealed(table, name string) (secrets, people bool) {
	for _, p := range parts {
		if p.table != table {
			continue
		}
		for _, c := range p.columns {
			if c.name == name && c.seal {
				return c.class == upkeep.KeptSecret, c.class == upkeep.KeptPersonal
			}
		}
	}
	return false, false
}

package solander_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"
	"testing"
)

const module = "solander"

// Rooms that stand together on the lower floors.
var (
	quantities = []string{"fault", "measure", "money", "calendar"}
	trade      = with(quantities, "sheet", "address", "letters", "picture", "edition", "order", "supply", "sealog", "charging", "owing", "invoice", "tax")
	domain     = with(trade, "tariff", "tariff/cards", "tariff/lint", "tariff/renew", "tariff/zonelist", "packing", "packing/rules", "packing/front", "packing/scale", "bench", "papers", "papers/wrap", "access", "intake", "intake/kept", "feed", "intake/pricelist", "export", "postage", "almanac", "leaving", "bankfile", "matching", "consign", "claim", "exchange", "fair", "disclosure", "certificate", "ledger", "layers", "posted", "earnings", "yearly")
	useCases   = []string{"upkeep", "studio", "dayplan", "gallery", "stockroom", "planning", "choosing", "quote", "weighing", "suppose", "waiting", "register", "buyers", "book", "daybench", "labelling", "paperwork", "dispatch", "movein", "feeds", "pricecards", "privacy", "house", "live", "moving", "rota", "copies", "copies/ages", "copies/sealed", "copies/place", "people", "phones", "banking", "consigning", "claims", "currencies", "fairs", "certify", "billing", "dues", "journal", "record", "record/keyfile", "record/keyring", "taxing", "earned", "years", "payouts"}
	inside     = with(domain, useCases...)
)

// mayImport is the map of the house: each room, and the rooms that it may import, nothing else. Tests of
// a room may import more. Rooms below internal/ are on it too.
var mayImport = map[string][]string{
	".":                         {},
	"fault":                     {},
	"measure":                   {"fault"},
	"money":                     {"fault"},
	"calendar":                  {"fault"},
	"sheet":                     {"fault", "measure"},
	"address":                   {},
	"letters":                   {},
	"picture":                   {"fault"},
	"picture/header":            {"fault", "picture"},
	"picture/develop":           {"fault", "picture", "picture/header"},
	"edition":                   quantities,
	"charging":                  quantities,
	"order":                     with(quantities, "charging", "edition", "address", "letters", "internal/fold"),
	"owing":                     with(quantities, "order"),
	"access":                    {"fault", "order"},
	"feed":                      {"fault", "order", "intake/hook"},
	"invoice":                   with(quantities, "order"),
	"supply":                    with(quantities, "sheet", "edition"),
	"sealog":                    with(quantities, "edition"),
	"disclosure":                with(quantities, "edition", "order"),
	"certificate":               with(quantities, "edition", "sealog"),
	"tariff":                    with(quantities, "internal/strict"),
	"tariff/cards":              with(quantities, "tariff"),
	"tariff/lint":               with(quantities, "tariff"),
	"tariff/renew":              with(quantities, "tariff"),
	"tariff/zonelist":           {"fault", "order", "tariff"},
	"packing":                   with(quantities, "sheet", "tariff", "internal/strict"),
	"packing/rules":             {"measure", "money", "tariff", "packing"},
	"packing/front":             {"calendar", "tariff", "packing"},
	"packing/scale":             {"measure"},
	"packing/planner":           with(quantities, "tariff", "packing", "packing/prices", "packing/planner/parcel", "packing/planner/means", "packing/planner/partition", "packing/planner/heuristic", "packing/planner/longorder", "packing/planner/explain"),
	"packing/planner/explain":   with(quantities, "sheet", "tariff", "packing", "packing/layout", "packing/planner/parcel", "packing/planner/means", "packing/planner/partition", "packing/planner/tiers"),
	"packing/planner/longorder": with(quantities, "tariff", "packing/prices", "packing/planner/parcel", "packing/planner/means", "packing/planner/memo", "packing/planner/partition", "packing/planner/least"),
	"packing/planner/heuristic": {"packing/planner/parcel", "packing/planner/memo", "packing/planner/partition"},
	"packing/planner/memo":      {"packing/planner/parcel", "packing/planner/means"},
	"packing/planner/least":     with(quantities, "sheet", "tariff", "packing", "packing/planner/parcel", "packing/planner/means"),
	"packing/planner/partition": {"packing/planner/parcel", "packing/planner/means"},
	"packing/planner/parcel":    with(quantities, "sheet", "tariff", "packing", "packing/planner/means", "packing/planner/tiers"),
	"packing/planner/means":     with(quantities, "tariff", "packing", "packing/planner/tiers"),
	"packing/planner/tiers":     {"measure", "packing/layout"},
	"packing/check":             with(quantities, "sheet", "tariff", "packing", "packing/check/exact", "packing/check/rates"), // never packing/planner
	"packing/check/rates":       with(quantities, "tariff", "packing", "packing/check/exact"),                                 // never packing/planner
	"packing/check/exact":       with(quantities, "tariff", "packing"),
	"packing/layout":            {"fault", "measure"},
	"packing/cutting":           {"fault", "measure", "packing/layout", "packing/cutting/onesheet", "packing/prices"},
	"packing/cutting/onesheet":  {"fault", "measure"},
	"packing/prices":            {},
	"intake":                    with(quantities, "edition", "order", "internal/strict"),
	"intake/kept":               with(quantities, "edition", "order", "intake"),
	"intake/cell":               with(quantities, "sheet", "edition", "intake"),
	"intake/notes":              with(quantities, "intake", "intake/cell"),
	"intake/naming":             with(quantities, "edition", "intake", "intake/cell"),
	"intake/grid":               with(quantities, "intake", "intake/cell"),
	"intake/guess":              with(quantities, "order", "intake", "intake/cell", "intake/notes", "intake/naming", "intake/grid"),
	"intake/sale":               with(quantities, "edition", "order", "intake", "intake/cell", "intake/notes", "intake/naming", "intake/grid", "intake/guess"),
	"intake/proposal":           with(quantities, "edition", "order", "intake", "intake/cell", "intake/notes", "intake/sale"),
	"intake/csvfile":            with(quantities, "intake"),
	"intake/pricelist":          with(quantities, "tariff", "intake", "intake/cell"),
	"intake/xlsx":               with(quantities, "intake"),
	"intake/mail":               with(quantities, "edition", "order", "address", "intake", "intake/cell"),
	"export":                    {"fault"},
	"ledger":                    with(quantities, "export"),
	"layers":                    {"money"},
	"yearly":                    with(quantities, "ledger"),
	"posted":                    with(quantities, "bankfile", "claim", "consign", "exchange", "fair", "layers", "ledger", "order", "supply"),
	"earnings":                  with(quantities, "layers", "ledger"),
	"postage":                   with(quantities, "order", "tariff", "export"),
	"almanac":                   with(quantities, "order"),
	"bankfile":                  with(quantities, "charging", "claim", "consign", "fair", "order", "intake", "intake/cell"),
	"exchange":                  with(quantities, "order", "intake", "intake/cell"),
	"fair":                      with(quantities, "order"),
	"consign":                   with(quantities, "edition", "order"),
	"claim":                     with(quantities, "order"),
	"matching":                  {"calendar", "money", "internal/fold"},
	"leaving":                   with(quantities, "order", "tariff"),
	"bench":                     with(trade, "tariff", "packing", "leaving", "claim"),
	"papers":                    with(trade, "tariff", "packing", "packing/cutting", "packing/cutting/onesheet", "leaving", "bench"),
	"papers/wrap":               {"fault", "measure", "packing", "papers"},
	"papers/pdf":                with(domain, "internal/qrcode", "papers/pdf/leaf"),
	"papers/pdf/leaf":           {"fault", "letters"},
	"papers/certificate":        {"fault", "calendar", "measure", "letters", "internal/qrcode", "papers/pdf/leaf"},
	"intake/hook":               with(quantities, "order", "internal/pointer", "internal/strict"),
	"dayplan":                   with(quantities, "tariff", "packing", "packing/front", "packing/planner", "packing/check"),
	"dayplan/setups":            {"fault", "money", "packing", "packing/front", "dayplan"},
	"dayplan/ahead":             {"calendar", "packing", "packing/front", "dayplan", "dayplan/horizon"},
	"dayplan/horizon":           {"fault"},
	"dayplan/trial":             {"packing", "packing/front", "dayplan"},
	"upkeep":                    {"fault", "calendar"},
	"studio":                    with(domain, "dayplan", "intake/hook", "internal/strict", "upkeep"),
	"gallery":                   with(domain, "studio", "picture/header", "picture/develop"),
	"stockroom":                 with(domain, "studio", "dayplan"),
	"planning":                  with(domain, "studio", "dayplan", "dayplan/setups", "stockroom", "packing/cutting"),
	"choosing":                  with(domain, "studio", "dayplan", "dayplan/trial", "planning"),
	"quote":                     with(domain, "studio", "dayplan", "planning", "choosing"),
	"weighing":                  with(domain, "studio", "dayplan", "planning"),
	"suppose":                   with(domain, "studio", "dayplan", "planning", "packing/planner"),
	"waiting":                   with(domain, "studio", "dayplan", "dayplan/ahead", "planning"),
	"tax":                       with(quantities, "address", "order"),
	"years":                     with(domain, "studio"),
	"taxing":                    with(domain, "studio", "buyers", "book"),
	"billing":                   with(domain, "studio", "taxing"),
	"mailing":                   {"fault"},
	"mailing/server":            {"fault", "mailing", "store/vault"},
	"dues":                      with(domain, "studio", "buyers", "currencies", "mailing"),
	"register":                  with(domain, "studio", "stockroom"),
	"buyers":                    with(domain, "upkeep", "studio"),
	"book":                      with(domain, "intake/mail", "studio", "dayplan", "stockroom", "planning", "register", "buyers", "currencies"),
	"daybench":                  with(domain, "studio", "dayplan", "dayplan/setups", "stockroom", "planning", "suppose", "waiting", "claims"),
	"labelling":                 with(domain, "studio", "dayplan", "planning", "weighing"),
	"paperwork":                 with(domain, "studio", "record", "dayplan", "planning", "book", "daybench"),
	"dispatch":                  with(domain, "studio", "dayplan", "dayplan/setups", "stockroom", "planning", "weighing", "waiting", "register", "buyers", "book", "claims", "labelling"),
	"journal":                   with(domain, "studio"),
	"earned":                    with(domain, "studio"),
	"payouts":                   with(domain, "studio", "book", "dispatch"),
	"movein":                    with(domain, "studio", "dayplan", "stockroom", "register", "buyers", "book", "intake/guess", "intake/proposal"),
	"feeds":                     with(domain, "studio", "buyers", "book", "currencies", "dispatch", "claims", "fairs", "intake/hook"),
	"pricecards":                with(quantities, "internal/strict", "address", "tariff", "tariff/lint", "tariff/renew", "tariff/zonelist", "packing", "studio", "dayplan"),
	"live":                      {"fault", "studio"},
	"moving":                    {"fault", "studio"},
	"privacy":                   with(quantities, "claim", "order", "intake", "intake/kept", "export", "upkeep", "studio", "rota"),
	"record":                    with(domain, "studio", "rota", "record/keyfile"),
	"record/keyfile":            {"fault", "sealog", "copies/sealed"},
	"record/keyring":            {"fault", "copies/sealed"},
	"house":                     with(domain, "picture/header", "studio", "dayplan", "stockroom", "planning", "register", "buyers", "book", "dispatch"),
	"people":                    {"upkeep", "fault", "access", "order", "studio", "people/password", "people/totp"},
	"people/password":           {"fault"},
	"people/totp":               {},
	"currencies":                with(domain, "studio"),
	"claims":                    with(domain, "studio", "dayplan", "gallery", "book", "currencies"),
	"fairs":                     with(domain, "studio"),
	"consigning":                with(domain, "studio", "stockroom", "register"),
	"banking":                   with(domain, "studio", "book", "claims", "consigning", "currencies", "fairs"),
	"phones":                    {"fault", "access", "studio", "people"},
	"certify":                   with(domain, "studio", "gallery", "record", "papers/certificate", "papers/pdf/leaf"),
	"studio/storetest":          with(domain, "studio", "house", "studio/storetest/owed", "studio/storetest/shifts", "studio/storetest/bed", "studio/storetest/book", "studio/storetest/register", "studio/storetest/people"),
	"rota":                      {"fault", "calendar", "upkeep", "studio"},
	"copies":                    with(quantities, "upkeep", "studio", "house", "rota", "copies/ages", "copies/sealed", "copies/place"),
	"copies/ages":               {"calendar"},
	"copies/sealed":             {"fault"},
	"copies/place":              {"fault"},
	"studio/storetest/bed":      with(domain, "studio"),
	"studio/storetest/book":     with(domain, "studio", "buyers", "book", "dispatch", "studio/storetest/bed"),
	"studio/storetest/owed":     with(domain, "studio", "studio/storetest/bed"),
	"studio/storetest/shifts":   {"fault", "rota", "upkeep", "studio", "studio/storetest/bed"},
	"studio/storetest/register": with(domain, "studio", "studio/storetest/bed"),
	"studio/storetest/people":   with(domain, "studio", "people", "people/totp", "studio/storetest/bed"),
	"store":                     with(domain, "upkeep", "studio", "record/keyfile", "store/vault", "store/vouch", "store/engine", "store/migrations", "store/sqlite", "store/postgres", "store/table", "store/words", "store/house", "store/numbers", "store/orders", "store/parcels", "store/stocks", "store/feeds", "store/intakes", "store/pictures", "store/privacy", "store/rota", "store/copying", "store/accounts", "store/phones", "store/bank", "store/claims", "store/consign", "store/payouts", "store/fairs", "store/rates", "store/copies", "store/attest", "store/leaves", "store/bills", "store/journal", "store/taxes", "store/digests", "store/years"),
	"store/engine":              {"fault", "sealog"},
	"store/journal":             with(domain, "studio", "store/engine", "store/table", "store/house", "store/orders", "store/rates", "store/stocks"),
	"store/migrations":          {"fault", "store/engine"},
	"store/sqlite":              {"fault", "studio", "store/engine", "store/migrations", "store/upgrade"},
	"store/postgres":            {"fault", "store/engine", "store/migrations", "store/upgrade"},
	"store/vault":               {"fault"},
	"store/vouch":               {"store/vault"},
	"store/table":               with(quantities, "studio", "store/engine", "store/vault"),
	"store/upgrade":             {"fault", "store/engine"},
	"store/words":               with(quantities, "edition", "internal/fold", "store/engine", "store/table"),
	"store/house":               with(domain, "studio", "store/engine", "store/table", "store/words"),
	"store/numbers":             with(domain, "studio", "store/engine", "store/table", "store/words"),
	"store/orders":              with(domain, "studio", "store/engine", "store/table", "store/words", "store/house", "store/bills"),
	"store/parcels":             with(domain, "studio", "store/engine", "store/table", "store/words"),
	"store/stocks":              with(domain, "studio", "store/engine", "store/table", "store/words"),
	"store/years":               with(quantities, "yearly", "store/table", "store/words"),
	"store/taxes":               with(quantities, "tax", "ledger", "store/engine", "store/table"),
	"store/bills":               with(quantities, "invoice", "ledger", "order", "store/engine", "store/table", "store/words"),
	"store/feeds":               with(domain, "studio", "store/engine", "store/table", "store/words"),
	"store/intakes":             with(domain, "studio", "store/engine", "store/table", "store/words", "store/orders"),
	"store/pictures":            with(domain, "studio", "store/engine", "store/table"),
	"store/phones":              with(domain, "studio", "store/engine", "store/table"),
	"store/rates":               with(domain, "store/engine", "store/table"),
	"store/claims":              with(domain, "studio", "store/engine", "store/table"),
	"store/fairs":               with(domain, "ledger", "posted", "store/engine", "store/table", "store/orders"),
	"store/consign":             with(domain, "ledger", "posted", "store/engine", "store/table"),
	"store/payouts":             with(quantities, "charging", "ledger", "store/engine", "store/table"),
	"store/bank":                with(domain, "store/payouts", "store/consign", "store/claims", "store/fairs", "store/engine", "store/table", "store/orders"),
	"store/accounts":            with(domain, "studio", "store/engine", "store/table", "store/words"),
	"store/copies":              {"fault", "store/engine", "store/migrations", "store/table", "store/house", "store/numbers", "store/orders", "store/parcels", "store/stocks", "store/feeds", "store/intakes", "store/pictures", "store/privacy", "store/accounts", "store/bank", "store/claims", "store/consign", "store/payouts", "store/fairs", "store/rates", "store/attest", "store/leaves", "store/journal", "store/bills", "store/taxes", "store/digests"},
	"store/digests":             {"sealog", "store/engine", "store/table", "store/migrations", "store/vouch"},
	"store/leaves":              with(quantities, "edition", "sealog", "certificate", "studio", "store/engine", "store/table", "store/numbers", "store/orders", "store/attest"),
	"store/attest":              with(domain, "studio", "store/engine", "store/table"),
	"store/rota":                {"upkeep", "studio", "store/table"},
	"store/copying":             {"fault", "upkeep", "studio", "store/table"},
	"store/privacy":             with(quantities, "order", "upkeep", "studio", "store/engine", "store/table", "store/words", "store/orders", "store/leaves"),
	"demo":                      with(inside, "picture/develop", "demo/painting"),
	"demo/painting":             {},
	"api":                       with(inside, "papers/pdf", "internal/status", "internal/strict", "internal/pointer", "internal/turned", "api/problem"),
	"api/problem":               {"fault", "internal/status", "internal/pointer"},
	"web":                       {"fault", "banking", "copies", "mailing/server", "studio", "people", "movein", "picture/header", "internal/status", "web/page", "web/today", "web/papers", "web/sales", "web/newsale", "web/people", "web/catalogue", "web/stock", "web/movein", "web/house", "web/programs", "web/layouts", "web/recipes", "web/prices", "web/compare", "web/ways", "web/ahead", "web/trips", "web/owed", "web/taxes", "web/years", "web/scale", "web/privacy", "web/copies", "web/gate", "web/accounts", "web/phone", "web/bank", "web/currencies", "web/fairs", "web/claims", "web/galleries", "web/payouts", "phones", "internal/nearby", "web/certify", "web/fees", "web/owed", "web/taxes", "web/earnings", "web/record"},
	"web/form":                  trade,
	"web/page":                  with(inside, "picture/header", "papers/pdf", "internal/status", "internal/turned", "web/form"),
	"web/today":                 with(inside, "web/form", "web/page", "web/ahead", "web/scale", "web/copies"),
	"web/papers":                with(inside, "web/form", "web/page"),
	"web/gate":                  {"fault", "access", "people", "studio"},
	"web/phone":                 with(inside, "internal/nearby", "internal/qrcode", "web/form", "web/page", "web/gate", "web/accounts"),
	"web/accounts":              with(inside, "web/form", "web/page", "web/gate"),
	"web/ahead":                 with(inside, "web/form", "web/page"),
	"web/certify":               with(inside, "picture/header", "papers/certificate", "web/form", "web/page"),
	"web/catalogue":             with(inside, "picture/header", "web/form", "web/page"),
	"web/movein":                with(inside, "intake/guess", "internal/status", "web/form", "web/page", "web/movein/rows", "web/movein/trial"),
	"web/movein/rows":           inside,
	"web/movein/trial":          with(inside, "web/form", "web/page", "web/movein/rows"),
	"web/newsale":               with(inside, "intake/mail", "web/form", "web/page"),
	"web/sales":                 with(inside, "web/form", "web/page", "web/today", "web/ways", "web/scale", "web/movein/rows"),
	"web/claims":                with(inside, "web/form", "web/page"),
	"web/currencies":            with(inside, "web/form", "web/page"),
	"web/fairs":                 with(inside, "export", "web/form", "web/page"),
	"web/galleries":             with(inside, "export", "web/form", "web/page"),
	"web/payouts":               with(inside, "web/form", "web/page"),
	"web/bank":                  with(inside, "web/form", "web/page"),
	"web/trips":                 with(inside, "web/form", "web/page"),
	"web/years":                 with(inside, "web/form", "web/page"),
	"web/taxes":                 with(inside, "web/form", "web/page"),
	"web/owed":                  with(inside, "mailing/server", "web/form", "web/page"),
	"web/fees":                  with(inside, "web/form", "web/page"),
	"web/plot":                  {},
	"web/earnings":              with(inside, "web/form", "web/page", "web/plot"),
	"web/ways":                  with(inside, "web/form", "web/page"),
	"web/copies":                with(inside, "web/form", "web/page"),
	"web/scale":                 with(inside, "web/form", "web/page"),
	"web/privacy":               with(inside, "web/form", "web/page"),
	"web/record":                with(inside, "web/form", "web/page"),
	"web/people":                with(inside, "web/form", "web/page"),
	"web/stock":                 with(inside, "web/form", "web/page", "web/today", "web/catalogue"),
	"web/recipes":               with(inside, "internal/strict", "web/form", "web/page"),
	"web/prices":                with(inside, "web/form", "web/page"),
	"web/compare":               with(inside, "web/form", "web/page"),
	"web/house":                 with(inside, "internal/strict", "web/form", "web/page", "web/catalogue", "web/recipes"),
	"web/layouts":               with(inside, "web/form", "web/page"),
	"web/programs":              with(inside, "intake/hook", "web/form", "web/page"),
	"cli":                       {"fault", "cli/desk", "cli/ahead", "cli/sales", "cli/dispatch", "cli/scale", "cli/editions", "cli/stock", "cli/cards", "cli/movein", "cli/begin", "cli/house", "cli/privacy", "cli/copies", "cli/trips", "cli/people", "cli/phone", "cli/bank", "cli/claims", "cli/galleries", "cli/fairs", "cli/certify", "cli/earnings", "cli/owed"},
	"cli/desk":                  with(inside, "mailing/server", "internal/strict", "internal/nearby"),
	"cli/people":                with(inside, "cli/desk"),
	"cli/fairs":                 with(inside, "cli/desk"),
	"cli/claims":                with(inside, "picture/header", "cli/desk"),
	"cli/galleries":             with(inside, "cli/desk"),
	"cli/bank":                  with(inside, "cli/desk"),
	"cli/certify":               with(inside, "papers/certificate", "cli/desk"),
	"cli/ahead":                 with(inside, "cli/desk"),
	"cli/sales":                 with(inside, "intake/mail", "cli/desk"),
	"cli/cards":                 with(inside, "cli/desk"),
	"cli/dispatch":              with(inside, "cli/desk"),
	"cli/scale":                 with(inside, "cli/desk"),
	"cli/trips":                 with(inside, "cli/desk"),
	"cli/record":                with(inside, "cli/desk"),
	"cli/owed":                  with(inside, "mailing/server", "cli/desk"),
	"cli/earnings":              with(inside, "cli/desk"),
	"cli/editions":              with(inside, "picture/header", "cli/desk", "cli/record"),
	"cli/stock":                 with(inside, "cli/desk"),
	"cli/movein":                with(inside, "intake/guess", "cli/desk"),
	"cli/begin":                 with(inside, "cli/desk", "cli/movein", "internal/authority", "internal/nearby"), // serve watches a folder
	"cli/copies":                with(inside, "cli/desk"),
	"cli/phone":                 with(inside, "cli/desk", "internal/nearby", "internal/qrcode"),
	"cli/house":                 with(inside, "cli/desk"),
	"cli/privacy":               with(inside, "cli/desk"),
	"cmd/solander":              {"cli", "internal/watch", "internal/wiring"},
	"internal/wiring":           with(domain, "internal/watch", "intake/csvfile", "intake/xlsx", "packing/planner", "packing/check", "papers/pdf", "studio", "rota", "copies", "privacy", "record", "record/keyring", "store", "demo", "web", "web/gate", "api", "cli/desk"),
	"internal/status":           {"fault"},
	"internal/watch":            {"fault"},
	"internal/strict":           {"fault"},
	"internal/pointer":          {"fault"},
	"internal/fold":             {},
	"internal/turned":           {},
	"internal/authority":        {"fault"},
	"internal/nearby":           {"fault", "internal/authority"},
	"internal/qrcode":           {},
	"internal/brute":            with(quantities, "sheet", "tariff", "packing", "packing/check"), // never packing/planner
	"internal/brute/mix":        with(quantities, "tariff", "packing", "internal/brute"),         // never packing/planner
	"internal/pgtest":           {},
	"internal/engines":          {"internal/bed", "internal/pgtest"},
	"internal/bed":              with(inside, "store", "packing/check", "intake/csvfile"),
	"internal/browsertest":      {},
	"internal/storagetest":      {},
	"internal/ringtest":         {},
	"internal/testpdf":          {},
	"internal/mailtest":         {},
	"internal/testpicture":      {},
	"internal/release":          {},
	"internal/tally":            {},
	"internal/hledger":          {"ledger", "money", "yearly"},
	"internal/mistake":          {},
	"internal/malformed":        {},
	"internal/speedtest":        {"intake"},
	"internal/intaketest":       {"calendar", "intake", "intake/proposal"},
	"internal/damage":           with(domain, "studio", "house", "store"),
	"internal/schematest":       with(quantities, "tariff", "packing", "intake"),
}

// pure lists the rooms that know no database, network, clock, file system or chance.
var pure = with(domain, "mailing", "copies/ages", "dayplan", "dayplan/setups", "dayplan/trial", "dayplan/horizon", "dayplan/ahead", "packing/planner", "packing/planner/explain", "packing/planner/heuristic", "packing/planner/longorder", "packing/planner/least", "packing/planner/memo", "packing/planner/partition", "packing/planner/parcel", "packing/planner/means", "packing/planner/tiers",
	"packing/check", "packing/check/exact", "packing/check/rates", "packing/layout", "packing/cutting", "packing/cutting/onesheet", "packing/prices", "papers/pdf", "papers/certificate", "picture/header", "picture/develop", "demo/painting",
	"intake/cell", "intake/notes", "intake/naming", "intake/grid", "intake/guess", "intake/sale", "intake/proposal",
	"intake/csvfile", "intake/xlsx", "intake/hook", "people/totp", "internal/strict", "internal/pointer", "internal/fold")

// outside lists what a pure room may not import, by path or by what the path begins with ("os/").
var outside = []string{
	"database/", "net", "net/http", "net/rpc", "net/smtp", "os", "os/", "math/rand", "math/rand/", "crypto/rand", "syscall", "log", "log/",
	"plugin", "unsafe", "golang.org/x/sys/", "modernc.org/", "github.com/jackc/", "github.com/google/uuid",
}

// noDatabase lists the further rooms that leave databases to store.
var noDatabase = with(useCases, "demo", "api", "api/problem", "cli", "cli/desk", "cli/ahead", "cli/sales", "cli/dispatch", "cli/scale", "cli/editions", "cli/stock", "cli/cards", "cli/movein", "cli/begin", "cli/house", "cli/privacy", "cli/copies", "cli/trips", "cli/people", "cli/phone", "cli/bank", "cli/claims", "cli/galleries", "cli/fairs", "cli/certify", "cli/earnings", "cli/owed",
	"web", "web/form", "web/record", "web/page", "web/today", "web/papers", "web/sales", "web/newsale", "web/people", "web/catalogue", "web/stock", "web/movein", "web/movein/rows", "web/movein/trial", "web/house", "web/programs", "web/layouts", "web/recipes", "web/prices", "web/compare", "web/ways", "web/ahead", "web/trips", "web/owed", "web/taxes", "web/years", "web/scale", "web/privacy", "web/copies", "web/gate", "web/accounts", "web/phone", "web/bank", "web/currencies", "web/fairs", "web/claims", "web/galleries", "web/payouts", "people/password", "people/totp", "web/certify", "web/fees", "web/owed", "web/taxes", "web/plot", "web/earnings")

var databases = []string{"database/", "modernc.org/", "github.com/jackc/"}

// ofTests lists the modules that only tests and their helpers may import.
var ofTests = []string{
	"testing", "testing/", "net/http/httptest", "pgregory.net/rapid", "github.com/google/go-cmp/", "go.uber.org/goleak",
	"github.com/rogpeppe/go-internal/", "github.com/chromedp/", "github.com/makiuchi-d/", "github.com/creack/pty",
}

// helpers lists the rooms that are made for tests.
var helpers = []string{"internal/storagetest", "internal/ringtest", "internal/mailtest", "internal/pgtest", "internal/browsertest", "internal/testpdf", "internal/testpicture", "internal/tally", "internal/hledger", "internal/damage", "internal/schematest", "internal/speedtest", "internal/intaketest", "internal/brute", "internal/brute/mix", "internal/bed", "internal/engines", "internal/mistake", "internal/malformed", "studio/storetest", "studio/storetest/bed", "studio/storetest/book", "studio/storetest/register", "studio/storetest/shifts", "studio/storetest/owed", "studio/storetest/people"}

// clocks are the functions of package time that look at a clock or wait for it.
var clocks = []string{"Now", "Since", "Until", "After", "AfterFunc", "Sleep", "Tick", "NewTimer", "NewTicker"}

func with(rooms []string, more ...string) []string { return append(slices.Clone(rooms), more...) }

// file is one Go file that is no test.
type file struct {
	path, room string
	lines      int
	syntax     *ast.File
	fset       *token.FileSet
}

// house parses every Go file of the module that is no test, by room.
func house(t *testing.T) map[string][]file {
	t.Helper()
	rooms := map[string][]file{}
	err := fs.WalkDir(os.DirFS("."), ".", func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && p != "." {
			if strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata" || d.Name() == "node_modules" || isModule(p) {
				return fs.SkipDir
			}
		}
		if d.IsDir() || !strings.HasSuffix(p, ".go") || strings.HasSuffix(p, "_test.go") {
			return nil
		}
		b, err := os.ReadFile(p)
		if err != nil {
			return err
		}
		fset := token.NewFileSet()
		syntax, err := parser.ParseFile(fset, p, b, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		room := path.Dir(p)
		rooms[room] = append(rooms[room], file{p, room, strings.Count(string(b), "\n"), syntax, fset})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(rooms) < 10 {
		t.Fatalf("only %d rooms found: nothing was tested", len(rooms))
	}
	return rooms
}

func isModule(dir string) bool {
	_, err := os.Stat(path.Join(dir, "go.mod"))
	return err == nil
}

func (f file) imports(t *testing.T) []string {
	t.Helper()
	var paths []string
	for _, i := range f.syntax.Imports {
		p, err := strconv.Unquote(i.Path.Value)
		if err != nil {
			t.Fatal(err)
		}
		paths = append(paths, p)
	}
	return paths
}

// among reports whether an import is one of the list, or begins with an entry that ends in a slash.
func among(imported string, list []string) bool {
	return slices.ContainsFunc(list, func(entry string) bool {
		return imported == entry || strings.HasSuffix(entry, "/") && strings.HasPrefix(imported, entry)
	})
}

func TestMapAndHouseAgree(t *testing.T) {
	rooms := house(t)
	for room := range rooms {
		if _, ok := mayImport[room]; !ok {
			t.Errorf("room %s is not on the map", room)
		}
	}
	for room, allowed := range mayImport {
		if len(rooms[room]) == 0 {
			t.Errorf("room %s is on the map but not in the house", room)
		}
		for _, a := range allowed {
			if _, ok := mayImport[a]; !ok {
				t.Errorf("room %s may import %s, which is not on the map", room, a)
			}
		}
	}
}

func TestRoomsImportOnlyWhatTheMapAllows(t *testing.T) {
	for room, files := range house(t) {
		allowed := mayImport[room]
		for _, f := range files {
			for _, i := range f.imports(t) {
				if other, ok := strings.CutPrefix(i, module+"/"); ok && !slices.Contains(allowed, other) {
					t.Errorf("%s imports %s, which the map does not allow", f.path, other)
				}
				if among(i, ofTests) && !slices.Contains(helpers, room) {
					t.Errorf("%s imports %s, which is for tests", f.path, i)
				}
			}
		}
	}
	for room, allowed := range mayImport {
		for _, other := range allowed {
			if solves := planning(room); solves && strings.HasPrefix(other, "packing/check") || room == "packing/check" && planning(other) {
				t.Errorf("the map lets %s import %s: the checker must share nothing with the planner", room, other)
			}
		}
	}
}

// planning reports whether a room helps to find a plan.
func planning(room string) bool {
	return room == "packing/planner" || strings.HasPrefix(room, "packing/planner/") || room == "packing/layout" || strings.HasPrefix(room, "packing/cutting") || room == "packing/prices"
}

func TestDomainRoomsArePure(t *testing.T) {
	rooms := house(t)
	for _, room := range pure {
		for _, f := range rooms[room] {
			for _, i := range f.imports(t) {
				if among(i, outside) {
					t.Errorf("%s imports %s: a domain room knows no database, network, file system or chance", f.path, i)
				}
			}
			for _, at := range f.clock() {
				t.Errorf("%s looks at the clock: the instant must come in as an argument", at)
			}
		}
	}
	for _, room := range noDatabase {
		for _, f := range rooms[room] {
			for _, i := range f.imports(t) {
				if among(i, databases) {
					t.Errorf("%s imports %s: databases belong to store", f.path, i)
				}
			}
		}
	}
}

// clock returns where the file names a function of package time that looks at the clock.
func (f file) clock() []string {
	name := ""
	for _, i := range f.syntax.Imports {
		if i.Path.Value == `"time"` {
			name = "time"
			if i.Name != nil {
				name = i.Name.Name
			}
		}
	}
	if name == "" {
		return nil
	}
	var at []string
	ast.Inspect(f.syntax, func(n ast.Node) bool {
		s, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		if x, ok := s.X.(*ast.Ident); ok && x.Name == name && slices.Contains(clocks, s.Sel.Name) {
			at = append(at, f.fset.Position(n.Pos()).String()+" (time."+s.Sel.Name+")")
		}
		return true
	})
	return at
}

// The checks above must be able to fail.
func TestChecksSeeWhatTheyLookFor(t *testing.T) {
	fset := token.NewFileSet()
	syntax, err := parser.ParseFile(fset, "sample.go", `package sample
import watch "time"
import "os/exec"
var now, day = watch.Now, watch.Hour
func f() { watch.Sleep(1); _ = exec.Command }`, 0)
	if err != nil {
		t.Fatal(err)
	}
	f := file{path: "sample.go", syntax: syntax, fset: fset}
	if at := f.clock(); len(at) != 2 || at[0] != "sample.go:4:16 (time.Now)" {
		t.Errorf("looks at the clock at %v", at)
	}
	for i, want := range map[string]bool{"os": true, "os/exec": true, "net/http": true, "net/url": false, "math/rand/v2": true, "math/big": false, "embed": false} {
		if among(i, outside) != want {
			t.Errorf("%s is outside: %v", i, !want)
		}
	}
	if imports := f.imports(t); !slices.Equal(imports, []string{"time", "os/exec"}) {
		t.Errorf("imports %v", imports)
	}
}

func TestEveryRoomHasASignOnItsDoor(t *testing.T) {
	for room, files := range house(t) {
		var signs []string
		for _, f := range files {
			if f.syntax.Doc == nil {
				continue
			}
			want := "Package " + f.syntax.Name.Name + " "
			if f.syntax.Name.Name == "main" {
				want = "Command " + path.Base(room) + " "
			}
			if !strings.HasPrefix(f.syntax.Doc.Text(), want) {
				t.Errorf("%s: the package comment does not begin with %q", f.path, want)
			}
			signs = append(signs, f.path)
		}
		if sort.Strings(signs); len(signs) != 1 {
			t.Errorf("room %s has %d package comments %v, want one", room, len(signs), signs)
		}
	}
}

func TestNoFileIsTooLong(t *testing.T) {
	const most = 500
	for _, files := range house(t) {
		for _, f := range files {
			if f.lines > most {
				t.Errorf("%s has %d lines: split what is over %d", f.path, f.lines, most)
			}
		}
	}
}

// The map in doc.go is what a newcomer reads first.
func TestDocListsEveryRoom(t *testing.T) {
	b, err := os.ReadFile("doc.go")
	if err != nil {
		t.Fatal(err)
	}
	listed := map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)^//\t([a-z/, ]+?)  +\S`).FindAllStringSubmatch(string(b), -1) {
		for _, room := range strings.Split(m[1], ", ") {
			listed[room] = true
			if _, ok := mayImport[room]; !ok {
				t.Errorf("doc.go lists %q, which is not on the map", room)
			}
		}
	}
	for room := range mayImport {
		if room != "." && !strings.HasPrefix(room, "internal/") && !listed[room] {
			t.Errorf("doc.go does not list %s", room)
		}
	}
}

// One command tests everything: README.md names it, the Makefile has it, the check of a change calls it.
func TestOneTestCommand(t *testing.T) {
	for name, pattern := range map[string]string{
		"README.md":       `(?m)^\s*(\$ )?make test$`,
		"CONTRIBUTING.md": `make test`,
		"Makefile":        `(?m)^test:.*\n\t@?scripts/test\.sh$`,
		".ci/run":         `(?m)^make test\n\z`,
	} {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Error(err)
			continue
		}
		if !regexp.MustCompile(pattern).Match(b) {
			t.Errorf("%s does not name the test command (%s)", name, pattern)
		}
	}
	for name, pattern := range map[string]string{"README.md": `(?m)^\s*(\$ )?make demo$`, "Makefile": `(?m)^demo: build.*\n\tbin/solander demo$`} {
		if b, err := os.ReadFile(name); err != nil || !regexp.MustCompile(pattern).Match(b) {
			t.Errorf("%s does not name the demo command (%s): %v", name, pattern, err)
		}
	}
}

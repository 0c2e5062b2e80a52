package notes

import (
	"regexp"
	"strings"
	"sync"

	"solander/intake"
)

// The words of notes, as alternatives of regular expressions. They are matched without regard to capitals, and in time linear
// in the note (RE2).
const (
	aMonth  = `(?:jan(?:uary|uar)?|feb(?:ruary|ruar)?|mar(?:ch)?|märz|apr(?:il)?|may|mai|june?|juni|july?|juli|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?|okt(?:ober)?|nov(?:ember)?|dec(?:ember)?|dez(?:ember)?)\b\.?`
	aYear   = `(?:,? ?(?:(?:19|20)[0-9]{2}|'[0-9]{2})\b)?`
	aWeekly = `(?:(?:on )?(?:mon|tues?|wed(?:nes)?|thu(?:rs)?|fri|sat(?:ur)?|sun)(?:day)?\.?,? )?`
	wordDay = aWeekly + `(?:[0-9]{1,2}(?:st|nd|rd|th)?\.?(?: of)? ?` + aMonth + aYear + `|` + aMonth + ` ?[0-9]{1,2}(?:st|nd|rd|th)?\b` + aYear + `)`
	fullDay = `(?:(?:19|20)[0-9]{2}-[0-9]{2}-[0-9]{2}\b|[0-9]{1,2}[./-][0-9]{1,2}[./-](?:[0-9]{4}|[0-9]{2})\b)`
	aDay    = `(` + wordDay + `|` + fullDay + `|[0-9]{1,2}[./][0-9]{1,2}\b\.?)`
	anySign = `(?:us\$|[$€£¥])`
	anyCode = `(?:usd|eur|gbp|cad|aud|nzd|chf|dollars?|euros?|pounds?)\b`
	digits  = `[0-9]{1,3}(?:[ ,.'][0-9]{3})+(?:[.,][0-9]{1,2})?|[0-9]{1,7}(?:[.,][0-9]{1,2})?`
	money1  = `((?:` + anySign + ` ?)?(?:` + digits + `)(?:,-)?(?: ?` + anySign + `| ?` + anyCode + `)?)`
	signed  = `(` + anySign + ` ?(?:` + digits + `)(?:,-)?|(?:` + digits + `)(?:,-)? ?(?:` + anySign + `|` + anyCode + `))`
	aSide   = `[0-9]{1,3}(?:[.,][0-9]{1,3})?(?: [1-7]/[1-8])?`
	aUnit   = `(?: ?(?:"|″|”|''|inches|inch|in\b\.?|cm\b|mm\b))?`
)

// pattern finds facts of one kind in a note. group is the part that holds the amount, day, size or text; 0 = none.
type pattern struct {
	kind    intake.FactKind
	re      func() *regexp.Regexp // compiled when a note is first read: most runs of the program read none
	group   int
	percent int // of the total, where the words say so without a figure
	value   valueOfFact
	sure    intake.Confidence
}

// valueOfFact tells what the group of a pattern holds.
type valueOfFact uint8

const (
	noValue valueOfFact = iota
	moneyValue
	percentValue
	dayValue
	sizeValue
	textValue
)

// figures reports values that no note without a figure has.
func (v valueOfFact) figures() bool { return v != noValue && v != textValue }

func words(kind intake.FactKind, sure intake.Confidence, percent int, re string) pattern {
	return pattern{kind, compile(re), 0, percent, noValue, sure}
}

func valued(kind intake.FactKind, sure intake.Confidence, value valueOfFact, re string) pattern {
	return pattern{kind, compile(re), 1, 0, value, sure}
}

// compile makes a pattern that begins and ends where no word goes on.
func compile(re string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?i)(?:^|[^\pL\pN])((?:` + strings.ReplaceAll(re, " ?", `\s?`) + `))(?:$|[^\pL\pN])`)
	})
}

// patterns are tried in this order; words that one has taken are not read again by a later one.
var patterns = []pattern{
	words(intake.StillOwed, intake.Likely, 0, `not (?:yet )?(?:fully paid|paid in full)(?: yet)?`),
	words(intake.NotPaid, intake.Plain, 0, `not (?:yet )?paid(?: yet)?|hasn't paid(?: yet)?|has not paid(?: yet)?|unpaid|nothing paid(?: yet)?|no payment(?: yet)?|nicht bezahlt`),
	words(intake.PaidAll, intake.Plain, 0, `paid in full|fully paid|paid fully|all paid|paid up|paid off|nothing (?:owed|due)|settled(?: in full)?|voll bezahlt`),
	words(intake.StillOwed, intake.Plain, 50, `half (?:is |still |is still )?(?:due|owed|owing|outstanding|to pay)|(?:owes|still owes) half`),
	words(intake.PaidPart, intake.Plain, 50, `half (?:is |was |already )?paid|paid (?:a )?half|half (?:as )?(?:a )?deposit|halb bezahlt`),
	valued(intake.PaidPart, intake.Plain, percentValue, `([0-9]{1,3}) ?% (?:deposit|down|paid|up front|anzahlung)(?: paid)?`),
	valued(intake.PaidPart, intake.Plain, percentValue, `(?:paid|deposit(?: of)?) ([0-9]{1,3}) ?%`),
	valued(intake.StillOwed, intake.Plain, percentValue, `([0-9]{1,3}) ?% (?:still |is still )?(?:due|owed|owing|outstanding|open)`),
	valued(intake.StillOwed, intake.Plain, moneyValue, `(?:still owes(?: me)?|owes(?: me)?|owing|outstanding|still (?:due|owed)|left to pay|balance(?: due)?(?: is| of)?|remaining|remainder|rest|noch offen)[:=]? ?`+money1),
	valued(intake.StillOwed, intake.Plain, moneyValue, money1+` (?:is |are )?(?:still )?(?:due|owed|owing|outstanding|to pay|left to pay|to come|remaining|offen)`),
	valued(intake.PaidPart, intake.Plain, moneyValue, `(?:has )?(?:already )?(?:paid|deposit(?: paid)?(?: of)?|down payment(?: of)?|prepaid|received|anzahlung)[:=]? ?`+money1),
	valued(intake.PaidPart, intake.Plain, moneyValue, money1+` (?:has been |was |already )?(?:paid|deposit(?: paid)?|down|received|anzahlung|bezahlt)`),
	valued(intake.SheetOn, intake.Plain, dayValue, `(?:sheets?|prints?|paper) (?:is |are |comes? |come |due |expected |back )?(?:back )?(?:from|at|by) (?:the )?(?:print )?(?:lab|printers?)(?: on| by| due|:)? ?`+aDay),
	valued(intake.SheetOn, intake.Likely, dayValue, `(?:(?:from|back from) (?:the )?)?(?:lab|printers?)(?: on| by| due|:)? ?`+aDay),
	valued(intake.HoldUntil, intake.Plain, dayValue, `(?:hold|keep|wait|do not send|don't send|not to be sent)(?: it| them| back)? (?:until|till|til|before) (?:after )?`+aDay),
	valued(intake.HoldUntil, intake.Plain, dayValue, `(?:send )?not before `+aDay),
	valued(intake.SentOnDay, intake.Plain, dayValue, `(?:was )?(?:sent|shipped|posted|mailed|dispatched|went out|left)(?: out| off)?(?: on|:)? ?`+aDay),
	valued(intake.SoldOnDay, intake.Plain, dayValue, `(?:ordered|sold|bought|reserved)(?: on|:)? ?`+aDay),
	valued(intake.NeededBy, intake.Plain, dayValue, `(?:needs?|needed|wanted|must arrive|must be there|has to arrive|to arrive|arrive|deadline)(?: it)?(?: by| before| for| is|:)? ?`+aDay),
	valued(intake.NeededBy, intake.Likely, dayValue, `(?:birthday|wedding|anniversary|opening|show)(?: is)?(?: on|:)? ?`+aDay),
	valued(intake.NeededBy, intake.Likely, dayValue, `(?:by|before) `+aDay),
	valued(intake.OfSize, intake.Plain, sizeValue, `(`+aSide+aUnit+` ?(?:x|×|by) ?`+aSide+aUnit+`)`),
	valued(intake.OfGrade, intake.Plain, textValue, `(fine(?: art)?|standard|deluxe|archival|museum|gicl[ée]e|pigment|poster|economy|premium) (?:grade|quality|version|edition|print|paper)`),
	valued(intake.OfGrade, intake.Likely, textValue, `(gicl[ée]e)`),
	valued(intake.OfNumber, intake.Plain, textValue, `(?:number |no\. ?|no |nr\.? ?)([0-9]{1,5}(?: ?/ ?[0-9]{1,5})?)`),
	valued(intake.OfNumber, intake.Plain, textValue, `(#[0-9]{1,5}(?: ?/ ?[0-9]{1,5})?)`),
	valued(intake.OfNumber, intake.Plain, textValue, `((?:ap|pp|hc) ?(?:[0-9]{1,3}|[ivx]{1,5})(?: ?/ ?[0-9]{1,3})?)`),
	valued(intake.OfNumber, intake.Likely, textValue, `([0-9]{1,5} ?/ ?[0-9]{2,5}|[0-9]{1,5} of [0-9]{2,5})`),
	valued(intake.HowMany, intake.Plain, textValue, `([0-9]{1,2}|two|three|four|five|six) (?:prints|copies|pieces|pcs)`),
	words(intake.IsGift, intake.Plain, 0, `(?:it's |is |as )?(?:a )?gift(?: wrap(?:ped)?)?|(?:as )?a (?:birthday )?present`),
	valued(intake.SomeDay, intake.Doubtful, dayValue, `(`+wordDay+`|`+fullDay+`)`),
	valued(intake.SomeAmount, intake.Doubtful, moneyValue, signed),
	words(intake.PaidAll, intake.Likely, 0, `paid|bezahlt`),
}

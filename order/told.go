package order

import (
	"fmt"
	"strings"
)

// Told is what the journal says of a payment, in the words of the screen: "90.00 USD paid".
func (p Payment) Told() string { return fmt.Sprintf("%s %s", p.Amount, p.Kind.Words()) }

// toldOnce is how the journal said the kinds of payment in earlier editions of the program; what it says of a refund is the same.
var toldOnce = map[PaymentKind]string{Deposit: " paid (deposit)", Balance: " paid (balance)"}

// ToldAnew is what the journal says of a payment in today's words, whichever edition of the program wrote it. The entry itself stays
// as it was written. No two payments that are told differently become alike.
func ToldAnew(text string) string {
	for kind, once := range toldOnce {
		if amount, ok := strings.CutSuffix(text, once); ok {
			return amount + " " + kind.Words()
		}
	}
	return text
}

package banking_test

import (
	"testing"

	"solander/bankfile"
	"solander/banking"
	"solander/internal/bed"
	"solander/ledger"
	"solander/movein"
)

// A file of orders is brought in, one of its payments is found in the bank, and the file is taken back: its orders are called off and their payments
// reversed, so that the line is open again and nothing of it is in the bank; brought in once more, it is found once more.
func TestALineOfAnOrderThatIsCalledOff(t *testing.T) {
	b := bed.MovingIn(t)
	const rows = "Date,Who,Address,Print,Size,No,Price,Paid,State,Sent,Order,Note\n" +
		"3/2/2026,Ada Quill,\"12 Reed Lane, Roanoke, VA 24011\",Heron at dusk,11 x 14 in,2/5,90,90,waits,,W-1,\n" +
		"3/2/2026,Bo Fenn,\"9 Mill Road, Salem, VA 24153\",Heron at dusk,11 x 14 in,3/5,80,80,waits,,W-2,\n"
	in, made := b.MovedIn(rows)
	account := brought(b, [2]string{"90.00", "ADA QUILL"}, [2]string{"80.00", "BO FENN"})
	for range 2 {
		lines := proposed(b, account, 2)
		same(b, "matched", stands(b, ledger.Bank), 170_00)
		b.Must(movein.UndoIntake(b.Ctx, b.Studio, made.ID, "the wrong year"))
		for _, id := range lines {
			if s := stateOf(b, id); s != bankfile.Open {
				t.Errorf("its order is called off, and the line is %s", s)
			}
		}
		same(b, "called off", stands(b, ledger.Bank, ledger.AtOutlets, ledger.Deposits), 0, 0, 0)
		open, err := banking.Open(b.Ctx, b.Studio, account)
		b.Must(err)
		for _, l := range open {
			if l.Proposal != nil || len(l.Others) > 0 {
				t.Errorf("a payment that was reversed is proposed: %+v", l)
			}
		}
		b.Sound()
		again, err := movein.TakeIn(b.Ctx, b.Studio, movein.TakeInIn{FileTrialIn: in}, nil)
		b.Must(err)
		made = *again.Intake
	}
}

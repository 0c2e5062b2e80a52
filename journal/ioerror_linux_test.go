package journal_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"solander/book"
	"solander/fault"
	"solander/internal/bed"
	"solander/studio"
	"solander/tariff"
)

// failing makes every read and write of a file of this process fail with EIO, as a dying disk does, until it is called again: what the process has open
// under that name is another file for a while, its own memory, of which the first pages are not there. Source: proc(5), /proc/pid/mem, "reads and
// writes … fail with EIO" where nothing is mapped; from memory, and asked of the kernel first.
func failing(bad *os.File, path string) (heal func() error, err error) {
	open, err := os.ReadDir("/proc/self/fd")
	if err != nil {
		return nil, err
	}
	was := map[int]int{}
	for _, f := range open {
		fd, err := strconv.Atoi(f.Name())
		if to, _ := os.Readlink(filepath.Join("/proc/self/fd", f.Name())); err != nil || to != path {
			continue
		}
		if was[fd], err = syscall.Dup(fd); err != nil {
			return nil, err
		}
		if err := syscall.Dup3(int(bad.Fd()), fd, syscall.O_CLOEXEC); err != nil {
			return nil, err
		}
	}
	if len(was) == 0 {
		return nil, fmt.Errorf("%s is not open: nothing would fail", filepath.Base(path))
	}
	return func() error {
		var failed error
		for fd, kept := range was {
			failed = errors.Join(failed, syscall.Dup3(kept, fd, syscall.O_CLOEXEC), syscall.Close(kept))
		}
		return failed
	}, nil
}

// badFile is a file that answers EIO.
func badFile(t *testing.T) *os.File {
	t.Helper()
	bad, err := os.OpenFile("/proc/self/mem", os.O_RDWR, 0)
	if err != nil {
		t.Skipf("no file fails here: %v", err)
	}
	t.Cleanup(func() { _ = bad.Close() })
	if _, err := syscall.Pwrite(int(bad.Fd()), []byte{1}, 4096); err != syscall.EIO {
		t.Skipf("a write where nothing is mapped is answered %v, not EIO", err)
	}
	return bad
}

// A disk that fails in the midst of payments, at the log into which they are written: the one in hand is told as failed, in words; opened again, the studio
// holds all that was told as done and nothing in half, balances to the cent, and the payment can be noted.
func TestAFailingDiskInThePaymentLeavesNothingInHalf(t *testing.T) {
	bad, chance := badFile(t), rand.New(rand.NewPCG(7, 7))
	rounds := 6
	if testing.Short() {
		rounds = 2
	}
	for round := range rounds {
		b := bed.New(t)
		v := b.Take(b.Sale())
		pay := func() error { return book.Pay(b.Ctx, b.Studio, book.PaymentIn{Order: v.ID, Amount: bed.USD(1)}) }
		b.Must(pay())
		after, begun := time.Duration(chance.IntN(8000))*time.Microsecond, make(chan error, 1)
		var heal func() error
		go func() {
			time.Sleep(after)
			var err error
			heal, err = failing(bad, b.Path+"-wal")
			begun <- err
		}()
		var told error
		done := 1
		for ; done < 5_000; done++ {
			if told = pay(); told != nil {
				break
			}
		}
		b.Must(<-begun)
		b.Must(heal())
		if told == nil || fault.CodeOf(told) == fault.Internal || !strings.Contains(told.Error(), "the disk fails") {
			t.Fatalf("round %d: after %d payments it is told as %v", round, done, told)
		}
		b.Must(b.Store.Close())
		b.Studio = studio.New(b.Open(b.Path), studio.Options{Clock: b.Clock.Now, Cards: studio.Given([]tariff.Card{bed.Invented()})})
		paid, unsure := b.Order(v.ID).Paid, fault.Is(told, fault.Unsure)
		if paid != bed.USD(int64(done)) && !(unsure && paid == bed.USD(int64(done+1))) {
			t.Errorf("round %d: %s are paid, %d payments were told as done; the last said %v", round, paid, done, told)
		}
		b.Must(pay())
		if got := b.Order(v.ID).Paid; got != bed.USD(paid.Minor+1) {
			t.Errorf("noted again, %s are paid, after %s", got, paid)
		}
		b.Sound()
		ours(t, b.Studio)
		t.Logf("%d payments, then the log failed: %v", done, told)
	}
}

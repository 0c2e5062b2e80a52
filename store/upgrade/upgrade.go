// Package upgrade is what both engines do when they bring an older studio up to date: the copy of it that is made before has a name by
// which she finds it, is compared with what it was made of, and is forgotten when there are later ones; and there are words for what
// went wrong. It runs no step, and knows no table.
package upgrade

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"

	"solander/fault"
	"solander/store/engine"
)

// Kept is how many copies from before upgrades are kept of one studio; older ones are removed once an upgrade is done.
const Kept = 3

// beforeUpgrade stands in the name of every such copy, so that she finds them.
const beforeUpgrade = "-before-upgrade-"

// Name names the copy of a studio that is made before an upgrade, so that names in order are copies in order.
func Name(base string, form int64, at time.Time, tail string) string {
	return fmt.Sprintf("%s%s%s-form-%d%s", base, beforeUpgrade, at.UTC().Format("2006-01-02-150405"), form, tail)
}

// Forget removes all but the latest copies of a studio from a folder; the one that was just made stays, whatever the clock said when others
// were. What cannot be removed stays for the next time.
func Forget(folder, base, tail, made string) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return
	}
	var found []string // in order
	for _, e := range entries {
		if of, err := filepath.Match("*-form-*"+tail, e.Name()); err == nil && of && len(e.Name()) > len(base+beforeUpgrade) && e.Name()[:len(base+beforeUpgrade)] == base+beforeUpgrade && e.Name() != filepath.Base(made) {
			found = append(found, e.Name())
		}
	}
	slices.Sort(found)
	for len(found) > Kept-1 {
		os.Remove(filepath.Join(folder, found[0]))
		found = found[1:]
	}
}

// NoCopy is what is said when the copy before an upgrade could not be made; then there is no upgrade.
func NoCopy(where string, err error) error {
	if fault.CodeOf(err) != fault.Internal {
		return err
	}
	f := fault.New(fault.Refused, "the studio is to be brought up to date, and the copy that is made before cannot be written; nothing was changed").At("%s", where)
	if engine.CauseOf(err) == engine.Full || full(err) {
		return f.ToMend("free as much space there as the studio takes, then open it again; or go on with the older version").Because(err)
	}
	return f.ToMend("look whether this user may write there; or go on with the older version").Because(err)
}

// NoUpgrade is what is said when the steps of an upgrade failed. All of them were one transaction, which is taken back.
func NoUpgrade(where string, have int64, err error) error {
	if have == 0 || fault.CodeOf(err) != fault.Internal || engine.Retriable(err) {
		return err
	}
	f := fault.New(fault.Refused, "the studio could not be brought up to date; it is as it was (form %d)", have).At("%s", where)
	if engine.CauseOf(err) == engine.Full || full(err) {
		return f.ToMend("free some space there, then open it again; or go on with the older version").Because(err)
	}
	return f.ToMend("go on with the older version, and run its check").Because(err)
}

package people

import (
	"strings"
	"time"

	"solander/access"
	"solander/fault"
	"solander/studio"
)

// How attempts that fail are slowed: so many are free, then each one more doubles the wait, up to the longest. Nobody is shut out for
// good, so that nobody can shut her out; some three hundred passwords a day are the most that can be tried of one account.
// Source: OWASP ASVS 5.0, 6.3.1 (against guessing) and 6.1.1 (against shutting people out on purpose); NIST SP 800-63B, 5.2.2.
const (
	freeAccount = 5
	freeAddress = 20
	firstWait   = 15 * time.Second
	longestWait = 5 * time.Minute
	keepFailed  = 24 * time.Hour
)

// attempt is one try to prove who one is, and what it counts against.
type attempt struct {
	account string // a name as it was typed
	address string // from where; "" = from where all do
}

// subjects are what an attempt counts against, with how many are free.
func (a attempt) subjects() map[string]int {
	out := map[string]int{"account:" + studio.HashOf(strings.ToLower(a.account)): freeAccount}
	if a.address != "" {
		out["address:"+studio.HashOf(a.address)] = freeAddress
	}
	return out
}

func waitOf(f access.Failures, free int, now time.Time) time.Duration {
	if f.Count < free {
		return 0
	}
	wait := longestWait
	if n := f.Count - free; n < 10 {
		wait = min(firstWait<<n, longestWait)
	}
	return wait - min(max(now.Sub(f.Last), 0), wait)
}

// try counts an attempt before anything is looked at, so that many at once, on several servers, are counted like one after the other.
// It returns how many under the account failed before. Faults: TooMany.
func (t *Door) try(a attempt) (failed int, err error) {
	if err := t.ForgetFailures(t.Now.Add(-keepFailed)); err != nil {
		return 0, err
	}
	var tried []access.Failures
	for subject, free := range a.subjects() {
		f, err := t.Store.Failures(subject)
		if err != nil {
			return 0, err
		}
		if wait := waitOf(f, free, t.Now); wait > 0 {
			return 0, fault.New(fault.TooMany, "too many attempts failed, one after the other").
				ToMend("wait %s, then try again; whoever sits at the machine can let in again by solander people readmit", roundUp(wait))
		}
		if strings.HasPrefix(subject, "account:") {
			failed = f.Count
		}
		tried = append(tried, access.Failures{Subject: subject, Count: f.Count + 1, Last: t.Now})
	}
	for _, f := range tried {
		if err := t.SaveFailures(f); err != nil {
			return 0, err
		}
	}
	return failed, nil
}

func roundUp(d time.Duration) time.Duration { return (d + time.Second - 1).Truncate(time.Second) }

// succeeded forgets what failed under the account, and that this attempt counted against the address.
func (t *Door) succeeded(a attempt) error {
	for subject := range a.subjects() {
		f, err := t.Store.Failures(subject)
		if err != nil {
			return err
		}
		if f.Count = max(f.Count-1, 0); strings.HasPrefix(subject, "account:") {
			f.Count = 0
		}
		if err := t.SaveFailures(f); err != nil {
			return err
		}
	}
	return nil
}

package store

import (
	"context"
	"errors"
	"os"

	"solander/fault"
	"solander/store/vault"
)

// PutKey puts the key of a studio that is kept in cipher where the store of a place looks for it, and returns where that is. A studio that is there
// already must open with it, or it is not put; there need be none yet. Faults: Taken when a key lies there; Invalid for what is no key;
// Refused when it does not open the studio.
func PutKey(ctx context.Context, place string, opt Options, body []byte) (string, error) {
	if opt.KeyFile = KeyFile(place, opt); opt.KeyFile == "" {
		return "", vault.NoPlace()
	}
	if _, err := vault.Parse(opt.KeyFile, body); err != nil {
		return "", fault.New(fault.Invalid, "what was sealed is no key of a studio").ToMend("choose the file that solander privacy key save wrote").Because(err)
	}
	if err := vault.Write(opt.KeyFile, body); err != nil {
		return "", err
	}
	opt.There = true
	s, err := Open(ctx, place, opt)
	switch {
	case fault.Is(err, fault.Missing):
		return opt.KeyFile, nil // it comes before its studio
	case err != nil:
		return "", errors.Join(err, os.Remove(opt.KeyFile))
	}
	return opt.KeyFile, s.Close()
}

package page

import (
	"fmt"
	"io"
	"net/http"

	"solander/fault"
	"solander/picture/header"
	"solander/web/form"
)

// AskPicture asks a form for a picture, of a file or of the camera.
func AskPicture(fm *form.Form, label string) {
	file := fm.Ask("file", label).As("file").Half().Must().WithHint(fmt.Sprintf("JPEG, PNG, WebP or TIFF, up to %d MB", header.MaxFile>>20))
	file.Accept = "image/jpeg,image/png,image/webp,image/tiff"
	taken := fm.Ask("taken", "Or take one now").As("file").WithHint("with the camera of this phone")
	taken.Accept, taken.Capture, taken.Class = "image/*", "environment", "half by-camera"
}

// SentPicture is the file that came with a form of AskPicture. Faults: Invalid when none was chosen.
func SentPicture(r *http.Request) ([]byte, error) {
	file, head, err := r.FormFile("taken")
	if err != nil || head.Size == 0 && head.Filename == "" {
		file, head, err = r.FormFile("file")
	}
	if err != nil || head.Size == 0 && head.Filename == "" {
		return nil, fault.Invalidf("file", "no file was chosen").ToMend("choose a JPEG, PNG, WebP or TIFF file").Because(err)
	}
	defer file.Close()
	return io.ReadAll(io.LimitReader(file, header.MaxFile+1))
}

package phone

import (
	"fmt"
	"strings"

	"solander/internal/qrcode"
)

// picture is a QR code as one path of dark modules.
type picture struct {
	Box  string
	Path string
}

func drawn(text string) (picture, error) {
	rows, err := qrcode.Modules(text)
	if err != nil {
		return picture{}, err
	}
	var path strings.Builder
	for y, row := range rows {
		for x := 0; x < len(row); x++ {
			from := x
			for x < len(row) && row[x] {
				x++
			}
			if x > from {
				fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", from, y, x-from, x-from)
			}
		}
	}
	return picture{fmt.Sprintf("0 0 %d %d", len(rows), len(rows)), path.String()}, nil
}

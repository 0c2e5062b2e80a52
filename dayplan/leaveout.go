package dayplan

import (
	"fmt"

	"solander/packing"
)

func WrapName(w packing.Wrap) string {
	if w.Name != "" {
		return fmt.Sprintf("“%s”", w.Name)
	}
	return w.ID
}

package cli

import (
	"solander/edition"
	"solander/order"
	"solander/studio"
)

// setUpFile is a first studio in a file.
type setUpFile struct {
	Settings studio.Settings    `json:"settings"`
	Outlets  []order.Outlet     `json:"outlets"`
	Work     edition.Work       `json:"work"`
	Edition  edition.Edition    `json:"edition"`
	Shelf    []studio.ShelfItem `json:"shelf"`
	Sheets   int                `json:"sheets"` // of the edition, in the drawer
}

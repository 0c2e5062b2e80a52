package packing

import "solander/measure"

// Rule is a house rule: for every parcel for which When holds, Then must hold.
type Rule struct {
	ID   string `json:"id" form:"id"`
	Text string `json:"text,omitempty"` // the rule in the studio's words
	When When   `json:"when,omitzero"`  // empty = every parcel
	Then Then   `json:"then"`
}

// When lists conditions on a parcel; all that are given must hold. "Over" is strict, "from" and "to" are
// inclusive.
type When struct {
	Grades          []string        `json:"grades,omitempty" least:"1" each:"1"`          // at least one sheet is of one of these
	SheetsFrom      *int            `json:"sheets_from,omitempty" most:"1000000"`         // sheets in the parcel
	SheetsTo        *int            `json:"sheets_to,omitempty" most:"1000000"`           //
	OrderSheetsFrom *int            `json:"order_sheets_from,omitempty" most:"1000000"`   // sheets in the whole order
	OrderSheetsTo   *int            `json:"order_sheets_to,omitempty" most:"1000000"`     //
	ValueOver       *int64          `json:"value_over,omitempty"`                         // value of the parcel's sheets
	OrderValueOver  *int64          `json:"order_value_over,omitempty"`                   //
	LongestOver     *measure.Length `json:"longest_over,omitempty"`                       // longest side of any sheet in it
	LongestTo       *measure.Length `json:"longest_to,omitempty"`                         //
	MassOver        *measure.Mass   `json:"mass_over,omitempty"`                          // of the packed parcel
	MassTo          *measure.Mass   `json:"mass_to,omitempty"`                            //
	Abroad          *bool           `json:"abroad,omitempty"`                             // destination country is not the origin's
	Countries       []string        `json:"countries,omitempty" least:"1" form:"country"` // destination country is one of these
	Shape           Shape           `json:"shape,omitempty"`                              // the wrap's shape
	Orders          []string        `json:"orders,omitempty" least:"1" each:"1"`          // a sheet of one of these orders is in the parcel, by id
}

// Then lists demands on a parcel; all that are given must hold.
type Then struct {
	OnlyClasses []string `json:"only_classes,omitempty" least:"1" each:"1"`
	NotClasses  []string `json:"not_classes,omitempty" least:"1" each:"1"`
	OnlyWraps   []string `json:"only_wraps,omitempty" least:"1" each:"1"`
	NotWraps    []string `json:"not_wraps,omitempty" least:"1" each:"1"`
	Shape       Shape    `json:"shape,omitempty"`
	SheetsMost  *int     `json:"sheets_most,omitempty" least:"1"` // sheets in a parcel
	Together    bool     `json:"together,omitempty"`              // the order may not be split
	Tracking    bool     `json:"tracking,omitempty"`
	Signature   bool     `json:"signature,omitempty"`
	FullCover   bool     `json:"full_cover,omitempty"` // cover for at least the value of the parcel's sheets
}

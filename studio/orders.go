package studio

const (
	PageLimit = 50
	MostPage  = 500
)

package horizon

// Crowd lets the searches keep so many states side by side, and returns what undoes that.
func Crowd(most ...int) func() {
	was := widths
	widths = most
	return func() { widths = was }
}

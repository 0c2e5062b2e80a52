package horizon

// Crowd lets the search keep so many states side by side, and returns what undoes that.
func Crowd(few, most int) func() {
	wasFew, wasMost := fewStates, mostStates
	fewStates, mostStates = few, most
	return func() { fewStates, mostStates = wasFew, wasMost }
}

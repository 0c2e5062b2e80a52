// Package upkeep has the words of looking after what is kept, and what a store does for it: which work is scheduled and who does it, what
// copies go by and whether the studio was left for another machine, what is kept of a person, for how long, and how she is erased.
package upkeep

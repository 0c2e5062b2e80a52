package sqlite

import (
	"regexp"
	"strconv"
)

var mark = regexp.MustCompile(`\$[0-9]+`)

// unnamed writes ? for the marks of a statement whose marks are $1, $2, … each once and in this order. A mark like $1 is a name to
// the engine, which is looked for among all names whenever one is bound: with hundreds of them that takes longer than the
// statement. Other statements stay as they are. No statement has a mark within quotation marks.
// Source: sqlite.org/lang_expr.html#varparam.
func unnamed(query string) string {
	for i, at := range mark.FindAllStringIndex(query, -1) {
		if query[at[0]+1:at[1]] != strconv.Itoa(i+1) {
			return query
		}
	}
	return mark.ReplaceAllString(query, "?")
}

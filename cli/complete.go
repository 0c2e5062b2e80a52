package cli

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/alecthomas/kong"
	"github.com/posener/complete"
	"github.com/willabides/kongplete"

	"solander/cli/desk"
)

// Completion prints what a shell runs at its start so that the tab key completes commands, flags and names.
type Completion struct {
	Shell string `arg:"" enum:"bash,zsh,fish" help:"bash, zsh or fish."`
}

func (Completion) Help() string {
	return `The shell then asks solander itself what may follow: commands, flags, marks of open orders, names of
editions, works, buyers, outlets and packaging. Names are completed as one word: heron-12x16-fine.

Example:

  solander completion bash >> ~/.bashrc
  solander completion zsh >> ~/.zshrc
  solander completion fish > ~/.config/fish/completions/solander.fish`
}

// What makes each shell ask. Sources: Bash Reference Manual, section 8.7 (complete -C, COMP_LINE, COMP_POINT); zshcompsys(1),
// bashcompinit; fish-shell manual, complete(1) and commandline(1).
var askingShells = map[string]string{
	"bash": "complete -C solander solander\n",
	"zsh": "(( $+functions[compdef] )) || { autoload -U compinit && compinit -i }\n" + // once, when the user's own lines did not
		"autoload -U +X bashcompinit && bashcompinit\ncomplete -C solander solander\n",
	"fish": "complete --command solander --no-files --arguments '(env COMP_LINE=(commandline --cut-at-cursor --current-process) solander)'\n",
}

// Run answers with the shell's lines.
func (c *Completion) Run(d *desk.Desk) error {
	return d.Show(map[string]string{"shell": c.Shell, "lines": askingShells[c.Shell]}, func(w io.Writer) { fmt.Fprint(w, askingShells[c.Shell]) })
}

// completing reports whether a shell asks what may follow, and answers it. It never fails: where nothing is known, nothing is offered.
func completing(d *desk.Desk) bool {
	line := d.Env.Get("COMP_LINE")
	if line == "" {
		return false
	}
	if at, err := strconv.Atoi(d.Env.Get("COMP_POINT")); err == nil && at >= 0 && at < len(line) {
		line = line[:at]
	}
	asked := typed(line)
	for _, option := range follows(d, asked) {
		if option != "" && strings.HasPrefix(option, asked.Last) {
			fmt.Fprintln(d.Out, option)
		}
	}
	return true
}

// typed parts a line as it stands before the cursor into the words that are whole and the one that is being typed.
func typed(line string) complete.Args {
	words := strings.Fields(line)
	if strings.HasSuffix(line, " ") || len(words) < 2 {
		words = append(words, "")
	}
	whole := words[1 : len(words)-1]
	a := complete.Args{All: words[1:], Completed: whole, Last: words[len(words)-1]}
	if len(whole) > 0 {
		a.LastCompleted = whole[len(whole)-1]
	}
	return a
}

// follows is what may stand where a person types, sorted, each once.
func follows(d *desk.Desk, a complete.Args) []string {
	var grammarOf app
	parser, err := grammar(&grammarOf, io.Discard, io.Discard)
	if err != nil {
		return nil
	}
	known := map[string]complete.Predictor{"file": complete.PredictFiles("*")}
	for what, names := range desk.Offered {
		known[what] = complete.PredictFunc(func(a complete.Args) []string {
			if i := slices.Index(a.All, "--store"); i >= 0 && i+1 < len(a.All) {
				d.Place = a.All[i+1]
			}
			open, err := d.Opened()
			if err != nil {
				return nil
			}
			found, err := names(open, a.Last)
			if err != nil {
				return nil
			}
			return found
		})
	}
	command, err := kongplete.Command(parser, kongplete.WithPredictors(known))
	if err != nil {
		return nil
	}
	options := command.Predict(a)
	if whole, ok := unsaid(parser.Model.Node, a); ok {
		options = append(options, command.Predict(whole)...)
	}
	slices.Sort(options)
	return slices.Compact(options)
}

// unsaid adds to what is typed the name of the command that is meant where none is said: "buyer noor" is "buyer show noor". ok is false
// when there is no such command, or another one is said.
func unsaid(node *kong.Node, a complete.Args) (complete.Args, bool) {
	at := 0
	for at < len(a.Completed) {
		i := slices.IndexFunc(node.Children, func(c *kong.Node) bool { return c.Name == a.Completed[at] })
		if i < 0 {
			break
		}
		node, at = node.Children[i], at+1
	}
	meant := node.DefaultCmd
	if meant == nil || meant.Tag.Default != "withargs" {
		return a, false
	}
	a.All = slices.Insert(slices.Clone(a.All), at, meant.Name)
	a.Completed = slices.Insert(slices.Clone(a.Completed), at, meant.Name)
	a.LastCompleted = a.Completed[len(a.Completed)-1]
	return a, true
}

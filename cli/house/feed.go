package house

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"solander/cli/desk"
	"solander/fault"
	"solander/feed"
	"solander/feeds"
	"solander/house"
	"solander/order"
)

type Feed struct {
	Add     feedAddCmd     `cmd:"" help:"Make a feed for an outlet; its token is shown this once."`
	List    feedListCmd    `cmd:"" default:"1" help:"List the feeds."`
	Buyers  feedBuyersCmd  `cmd:"" help:"Say what becomes of an order whose buyer may be in the book."`
	Revoke  feedRevokeCmd  `cmd:"" help:"End a feed for ever."`
	Secret  feedSecretCmd  `cmd:"" help:"Add a secret to a feed's web-hook; it is shown this once."`
	Mapping feedMappingCmd `cmd:"" help:"Save a mapping from a file, and let a feed's web-hook read by it."`
}

func (Feed) Help() string {
	return `A feed lets another program write for one outlet: by calls with a token (docs/formats/api.md), or by signed
messages to a web-hook (docs/formats/hook.md). Keep tokens and secrets to yourself and to that program.

Example:

  solander feed add "Fair till" --outlet fair --scope orders:write --scope payments:write
  solander feed list
  solander feed revoke 1`
}

type feedAddCmd struct {
	Name   string   `arg:"" help:"What you call the other program."`
	Outlet string   `required:"" placeholder:"OUTLET" predictor:"outlet" help:"Outlet for which it writes, by name or number."`
	Buyers string   `placeholder:"RULE" default:"take" help:"A buyer who may be in the book: take (as the same person; in doubt you are asked), propose (a new one; you are asked), new (always)."`
	Scope  []string `required:"" placeholder:"SCOPE" help:"What it may do: orders:read, orders:write, payments:write, buyers:write, buyers:read, buyers:merge, addresses:write, editions:read, papers:read, quotes:read, fairs:read, claims:read, claims:write, hooks:write. Once for each, or with commas."`
}

func (feedAddCmd) Help() string {
	return "Example:\n\n  solander feed add \"Fair till\" --outlet fair --scope orders:write --scope payments:write"
}

func (c *feedAddCmd) Run(d *desk.Open) error {
	u, err := d.OutletNamed(c.Outlet)
	if err != nil {
		return err
	}
	in := feed.Feed{Name: c.Name, Outlet: u.ID, Buyers: order.BuyerRule(c.Buyers)}
	for _, s := range c.Scope {
		in.Scopes = append(in.Scopes, feed.Scope(strings.TrimSpace(s)))
	}
	made, err := feeds.AddFeed(d.Ctx, d.Studio, in)
	if err != nil {
		return err
	}
	return d.Show(made, func(w io.Writer) {
		fmt.Fprintf(w, "feed %d %s for %s is made; its token, which is not shown again:\n%s\n", made.ID, made.Name, u.Name, made.Token)
	})
}

type feedListCmd struct{}

func (feedListCmd) Help() string { return "Example:\n\n  solander feed list" }

func (feedListCmd) Run(d *desk.Open) error {
	feeds, err := feeds.Feeds(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	outlets, err := house.Outlets(d.Ctx, d.Studio)
	if err != nil {
		return err
	}
	names := map[int64]string{}
	for _, u := range outlets {
		names[u.ID] = u.Name
	}
	return d.Show(feeds, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("FEED\tNAME\tOUTLET\tSTATE\tLAST USED\tMAY")
			for _, f := range feeds {
				row("%d\t%s\t%s\t%s\t%s\t%s", f.ID, f.Name, names[f.Outlet], feedState(f), feedUsed(f), scopeList(f.Scopes))
			}
		})
	})
}

func feedState(f feed.Feed) string {
	if f.Revoked.IsZero() {
		return "in use"
	}
	return "revoked " + f.Revoked.Format("2006-01-02")
}

func feedUsed(f feed.Feed) string {
	if f.Used.IsZero() {
		return "never"
	}
	return f.Used.Format("2006-01-02 15:04Z")
}

func scopeList(scopes []feed.Scope) string {
	var out []string
	for _, s := range scopes {
		out = append(out, string(s))
	}
	return strings.Join(out, ", ")
}

type feedRevokeCmd struct {
	Feed string `arg:"" help:"Feed, by number or name."`
}

func (feedRevokeCmd) Help() string { return "Example:\n\n  solander feed revoke 1" }

func (c *feedRevokeCmd) Run(d *desk.Open) error {
	f, err := feedNamed(d, c.Feed)
	if err != nil {
		return err
	}
	err = feeds.RevokeFeed(d.Ctx, d.Studio, f.ID)
	return d.Done(err, map[string]int64{"revoked": f.ID}, "feed %d %s is revoked", f.ID, f.Name)
}

type feedBuyersCmd struct {
	Feed string `arg:"" help:"Feed, by number or name."`
	Rule string `arg:"" help:"take, propose or new: see solander feed add --help."`
}

func (feedBuyersCmd) Help() string { return "Example:\n\n  solander feed buyers till propose" }

func (c *feedBuyersCmd) Run(d *desk.Open) error {
	f, err := feedNamed(d, c.Feed)
	if err != nil {
		return err
	}
	err = feeds.SetFeedBuyers(d.Ctx, d.Studio, f.ID, order.BuyerRule(c.Rule))
	return d.Done(err, map[string]any{"feed": f.ID, "buyers": c.Rule}, "feed %d %s: a buyer who may be in the book is dealt with by the rule %s", f.ID, f.Name, c.Rule)
}

type feedSecretCmd struct {
	Feed   string `arg:"" help:"Feed, by number or name."`
	File   string `name:"secret-file" placeholder:"FILE" predictor:"file" help:"A file with the secret that the sender dictates (- is the input stream); without it one is made."`
	Secret string `hidden:""`
}

func (feedSecretCmd) Help() string {
	return `A secret is read from a file or the input stream, never from the command line, which every program of this machine can see.

Example:

  solander feed secret till
  solander feed secret till --secret-file dictated.txt
  solander feed secret till --secret-file -`
}

func (c *feedSecretCmd) Run(d *desk.Open) error {
	f, err := feedNamed(d, c.Feed)
	if err != nil {
		return err
	}
	given, err := c.given(d)
	if err != nil {
		return err
	}
	secret, err := feeds.AddFeedSecret(d.Ctx, d.Studio, f.ID, given)
	if err != nil {
		return err
	}
	return d.Say(map[string]any{"feed": f.ID, "secret": secret}, "messages to /hooks/%d are signed with this secret, which is not shown again:\n%s", f.ID, secret)
}

// given reads the secret that the sender dictates; "" when none is named. Faults: Refused for one on the command line.
func (c *feedSecretCmd) given(d *desk.Open) (string, error) {
	if c.Secret != "" {
		return "", desk.Openly("secret", "the secret", "put it into a file that you alone may read, and name that: --secret-file FILE, or - for the input stream")
	}
	if c.File == "" {
		return "", nil
	}
	b, err := d.ReadFile(c.File, "secret-file")
	if err != nil {
		return "", err
	}
	if strings.TrimSpace(string(b)) == "" {
		return "", fault.New(fault.Invalid, "there is no secret in it").At("%s", c.File).In("secret-file").ToMend("write it into the file; without a file one is made")
	}
	return string(b), nil
}

type feedMappingCmd struct {
	Feed string `arg:"" help:"Feed, by number or name."`
	File string `required:"" placeholder:"FILE" predictor:"file" help:"The mapping as JSON (docs/formats/hook.md; - is the input stream)."`
	Name string `placeholder:"TEXT" help:"Its name; that of the feed when it is left out."`
}

func (feedMappingCmd) Help() string {
	return "Example:\n\n  solander feed mapping till --file till.json"
}

func (c *feedMappingCmd) Run(d *desk.Open) error {
	f, err := feedNamed(d, c.Feed)
	if err != nil {
		return err
	}
	body, err := d.ReadFile(c.File, "file")
	if err != nil {
		return err
	}
	in, err := feeds.MapFeed(d.Ctx, d.Studio, f.ID, feed.Mapping{Name: cmp.Or(c.Name, f.Name), Body: body})
	if err != nil {
		return err
	}
	return d.Say(in, "feed %d %s reads messages by the mapping %s", f.ID, f.Name, in.Name)
}

// feedNamed finds a feed by its number or by words of its name that fit no other.
func feedNamed(d *desk.Open, name string) (feed.Feed, error) {
	feeds, err := feeds.Feeds(d.Ctx, d.Studio)
	if err != nil {
		return feed.Feed{}, err
	}
	f, err := desk.Pick(feeds, name, "feed", "solander feed list", func(f feed.Feed) int64 { return f.ID }, func(f feed.Feed) string { return f.Name })
	if fault.Is(err, fault.Missing) && len(feeds) == 0 {
		return f, fault.New(fault.Missing, "there is no feed yet").In("feed").ToMend("make one with solander feed add")
	}
	return f, err
}

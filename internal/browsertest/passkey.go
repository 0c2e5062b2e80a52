package browsertest

import (
	"context"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/webauthn"
	"github.com/chromedp/chromedp"
)

// Authenticator gives the page something that makes and keeps passkeys, and unlocks them for whoever sits there: the browser's own
// virtual one.
func (p *Page) Authenticator() {
	p.t.Helper()
	run(p, "passkeys", func(ctx context.Context, t *chromedp.Target) (cdp.Empty, error) {
		return cdp.Call(ctx, t, webauthn.Enable, webauthn.EnableParams{})
	})
	run(p, "a virtual authenticator", func(ctx context.Context, t *chromedp.Target) (webauthn.AddVirtualAuthenticatorResult, error) {
		return cdp.Call(ctx, t, webauthn.AddVirtualAuthenticator, webauthn.AddVirtualAuthenticatorParams{Options: &webauthn.VirtualAuthenticatorOptions{
			Protocol: webauthn.AuthenticatorProtocolCtap2, Transport: webauthn.AuthenticatorTransportInternal,
			HasResidentKey: true, HasUserVerification: true, IsUserVerified: true, AutomaticPresenceSimulation: true,
		}})
	})
}

package uitest

import (
	"context"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// CutOff makes the tab lose its connection, as far as scripts can tell.
const CutOff = "window.fetch = () => Promise.reject(new TypeError('no connection')); 0"

// Connected cuts the tab off from the network, or gives it back.
func (b *Tab) Connected(is bool) {
	b.t.Helper()
	b.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
			MatchedNetworkConditions: []*network.Conditions{{Offline: !is, DownloadThroughput: -1, UploadThroughput: -1}},
		})
		if err != nil {
			return err
		}
		_, err = cdp.Call(ctx, t, network.OverrideNetworkState, network.OverrideNetworkStateParams{Offline: !is, DownloadThroughput: -1, UploadThroughput: -1})
		return err
	}))
}

// Phone sets the size and the touch of a phone.
func (b *Tab) Phone() {
	b.t.Helper()
	b.Do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile))
}

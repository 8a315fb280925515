package accounts_test

import (
	"testing"
	"thole/api/store"
	"thole/api/storetest"
)

// TestAUsageIsAnAccountsOrTheClubs: each is kept once and replaced, neither touches the
// other, what the table does not know is refused, and an account's goes with it.
func TestAUsageIsAnAccountsOrTheClubs(t *testing.T) {
	s := storetest.New(t)
	anna := storetest.Must(storetest.AddAccount(s, store.Account{Name: "Anna", Role: "coach"}, "row the boat gently"))
	bert := storetest.Must(storetest.AddAccount(s, store.Account{Name: "Bert", Role: "boatman"}, "row the boat gently"))
	none := func(account int64) {
		t.Helper()
		_, err := s.Usage(storetest.Ctx, account)
		storetest.WantError(t, err, store.ErrNotFound)
	}
	none(anna)
	none(0)
	club := store.Usage{BodyLengths: "cm", RigLengths: "mm", Masses: "kg", Sides: "stroke_bow", Days: "ymd", Decimals: "comma"}
	own := store.Usage{BodyLengths: "ft_in", RigLengths: "in_fractions", Masses: "lb", Sides: "port_starboard", Days: "mdy", Decimals: "point"}
	storetest.Check(t, s.SetUsage(storetest.Ctx, 0, &club))
	none(bert)
	storetest.Check(t, s.SetUsage(storetest.Ctx, bert, &club))
	storetest.Check(t, s.SetUsage(storetest.Ctx, bert, &own))
	storetest.WantEqual(t, storetest.Must(s.Usage(storetest.Ctx, bert)), own)
	storetest.WantEqual(t, storetest.Must(s.Usage(storetest.Ctx, 0)), club)
	none(anna)
	wrong := own
	wrong.RigLengths = "ell"
	storetest.WantError(t, s.SetUsage(storetest.Ctx, bert, &wrong), store.ErrInvalid)
	storetest.WantEqual(t, storetest.Must(s.Usage(storetest.Ctx, bert)), own)
	storetest.WantError(t, s.SetUsage(storetest.Ctx, 99, &own), store.ErrNotFound)
	storetest.Check(t, s.DeleteAccount(storetest.Ctx, bert))
	none(bert)
	storetest.Check(t, s.SetUsage(storetest.Ctx, 0, nil))
	none(0)
}

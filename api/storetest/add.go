package storetest

import (
	"crypto/rand"
	"thole/api/store"
	"time"
)

// AddAccount puts an account on record as an invitation does, and returns its id.
func AddAccount(s *store.Store, a store.Account, password string) (int64, error) {
	hash, err := s.HashPassword(password)
	if err != nil {
		return 0, err
	}
	invitation := store.Link{Kind: "invitation", Role: a.Role, AthleteID: a.AthleteID, CreatedBy: "Anna", ExpiresAt: Noon.AddDate(99, 0, 0)}
	secret := rand.Text()
	if _, err := s.AddLinks(Ctx, []store.Link{invitation}, []string{secret}); err != nil {
		return 0, err
	}
	return s.Accept(Ctx, secret, time.Now(), a.Name, hash)
}

// AddSeatRace puts a seat race without guests on record, and returns its id.
func AddSeatRace(s *store.Store, r store.SeatRace, by store.By) (int64, error) {
	return s.AddSeatRace(Ctx, nil, func([]int64) (store.SeatRace, error) { return r, nil }, by)
}

// UpdateSeatRace writes a seat race without guests, and returns its new version.
func UpdateSeatRace(s *store.Store, r store.SeatRace, by store.By) (int64, error) {
	return s.UpdateSeatRace(Ctx, nil, func([]int64) (store.SeatRace, error) { return r, nil }, by)
}

package db_test

import (
	"context"
	"path/filepath"
	"testing"
	"time"

	"thole/api/store"
	"thole/api/store/db"
	"thole/api/storetest"
)

// addUnder puts an athlete on record under the key of a request.
func addUnder(s *store.Store, once *db.Once, name string) error {
	_, err := s.AddAthlete(db.WithOnce(storetest.Ctx, once), store.Athlete{Name: name}, storetest.Anna)
	return err
}

// TestARequestCountsOnceForADay, then its key can be used again. One key of two
// accounts is two.
func TestARequestCountsOnceForADay(t *testing.T) {
	now := storetest.Noon
	s := storetest.Timed(t, filepath.Join(t.TempDir(), "t.db"), func() time.Time { return now })
	request := func(account int64) *db.Once {
		return &db.Once{Account: account, Key: db.Digest{1}, Request: db.Digest{2}, Status: 201}
	}
	first := request(1)
	storetest.WantEqual(t, first.Kept(), false)
	storetest.Check(t, addUnder(s, first, "Edda"))
	storetest.WantEqual(t, first.Kept(), true)
	storetest.Check(t, addUnder(s, first, "Frieda")) // more that the one request writes
	storetest.WantError(t, addUnder(s, request(1), "Gerda"), db.ErrSent)
	storetest.Check(t, addUnder(s, request(2), "Hanna"))
	storetest.Check(t, s.Answered(storetest.Ctx, first, 201, "/api/v1/athletes/1"))
	storetest.WantEqual(t, storetest.Must(s.SentBefore(storetest.Ctx, request(1))), db.Sent{Request: db.Digest{2}, Status: 201, Location: "/api/v1/athletes/1"})
	storetest.WantEqual(t, storetest.Must(s.SentBefore(storetest.Ctx, request(2))), db.Sent{Request: db.Digest{2}, Status: 201})
	now = storetest.Noon.Add(db.KeysKept)
	storetest.WantError(t, addUnder(s, request(1), "Gerda"), db.ErrSent)
	now = now.Add(time.Second)
	_, err := s.SentBefore(storetest.Ctx, request(1))
	storetest.WantError(t, err, db.ErrNotFound)
	storetest.Check(t, addUnder(s, request(1), "Gerda"))
}

// TestARequestThatFailedCanBeSentAgain, when it was told so: from status 400 on.
func TestARequestThatFailedCanBeSentAgain(t *testing.T) {
	s := storetest.New(t)
	once := func() *db.Once { return &db.Once{Key: db.Digest{1}} }
	storetest.Check(t, addUnder(s, once(), "Edda"))
	storetest.Check(t, s.Answered(storetest.Ctx, once(), 399, ""))
	storetest.WantError(t, addUnder(s, once(), "Frieda"), db.ErrSent)
	storetest.Check(t, s.Answered(storetest.Ctx, once(), 400, ""))
	storetest.Check(t, addUnder(s, once(), "Frieda"))
}

// TestAKeyGoesWithTheWork that a request leaves to be done; without one nothing does.
func TestAKeyGoesWithTheWork(t *testing.T) {
	type of struct{}
	work := context.WithValue(context.Background(), of{}, "work")
	once := &db.Once{Key: db.Digest{1}}
	with, without := db.CarryOnce(db.WithOnce(context.Background(), once), work), db.CarryOnce(context.Background(), work)
	if db.OnceIn(with) != once || db.OnceIn(without) != nil || with.Value(of{}) != "work" || without.Value(of{}) != "work" {
		t.Errorf("%v, %v", db.OnceIn(with), db.OnceIn(without))
	}
}

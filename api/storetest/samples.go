package storetest

import (
	"bytes"
	"context"
	"database/sql"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"thole/api/store"
)

// WantGone checks that nothing of marks is in the files.
func WantGone(t *testing.T, s *store.Store, marks ...string) {
	t.Helper()
	disk := bytesOnDisk(t, s)
	for _, mark := range marks {
		if bytes.Contains(disk, []byte(mark)) {
			t.Errorf("%q can still be read in the file", mark)
		}
	}
}

// WantThere checks that marks are in the files, so that they can go.
func WantThere(t *testing.T, s *store.Store, marks ...string) {
	t.Helper()
	disk := bytesOnDisk(t, s)
	for _, mark := range marks {
		if !bytes.Contains(disk, []byte(mark)) {
			t.Fatalf("%q is not in the file, so that its deletion would show nothing", mark)
		}
	}
}

// bytesOnDisk reads everything that the database has in files.
func bytesOnDisk(t *testing.T, s *store.Store) []byte {
	t.Helper()
	var all []byte
	for _, name := range Must(filepath.Glob(s.Path() + "*")) {
		if !strings.HasSuffix(name, "-shm") { // holds numbers of pages, no content
			all = append(all, Must(os.ReadFile(name))...)
		}
	}
	return all
}

// Run executes a statement.
func Run(t *testing.T, db *sql.DB, query string) {
	t.Helper()
	_, err := db.Exec(query)
	Check(t, err)
}

// AddPair puts a line-up of two on record.
func AddPair(t testing.TB, s *store.Store) store.Lineup {
	t.Helper()
	boat := Must(s.AddBoat(Ctx, Swallow(), Anna))
	l := store.Lineup{
		Name: "Swallow on Sunday", ClassCode: "2+", BoatID: &boat, CoxMassKg: Ptr(55.0), RowsOn: Ptr("2026-03-15"), Source: "by hand", Note: "try out", Archived: true,
		Seats: []store.LineupSeat{{AthleteID: Ptr(AddNamed(t, s, "Edda")), Side: "starboard"}, {AthleteID: Ptr(AddNamed(t, s, "Frieda")), Side: "port"}},
	}
	var err error
	l.ID, err = s.AddLineup(Ctx, l, Anna)
	Check(t, err)
	l.Version, l.SavedBy, l.SavedAt = 1, "Anna", Noon
	return l
}

// Swallow is a pair in which everything is known.
func Swallow() store.Boat {
	var full store.Rig
	for i, v := range full.Values() {
		*v.Value = Ptr(20.5 + float64(i))
	}
	return store.Boat{
		Name: "Swallow", ClassCode: "2-", HullMassKg: Ptr(27.4), BuiltForKg: Ptr(85.0), WaterlineLengthM: Ptr(10.1), WaterlineBeamM: Ptr(0.35),
		SeatOverWaterCm: Ptr(7.2), StretcherMark: "hole", StretcherOffsetCm: 4, StretcherToeAlongCm: 25.5, StretcherHolePitchCm: 2.5, WasherMm: Ptr(4.0), ClamMm: Ptr(10.0), InsertDeg: Ptr(1.0), Note: "new slides", Archived: true,
		Seats: []store.Seat{
			{Number: 1, Side: "starboard", CanChangeSides: true, Blade: "macon", Rig: store.Rig{SpreadCm: Ptr(85.5)}},
			{Number: 2, Side: "port", CanChangeSides: true, Blade: "large", Rig: full, Starts: []store.SeatStart{{Setting: "inboard_cm", Value: 115}, {Setting: "spread_cm", Value: 85}}, Adjustments: []store.Adjustment{
				{Setting: "spread_cm", Min: 82, Max: 88, Step: 0.5, Cost: 3}, {Setting: "heel_to_pin_cm", Min: 10, Max: 45, Step: 1.5, Cost: 1},
			}},
		},
	}
}

// Nodes is a curve of force.
func Nodes() []float64 {
	curve := make([]float64, 101)
	for i := range curve {
		curve[i] = 700 * math.Sin(math.Pi*float64(i)/100)
	}
	return curve
}

// AddRecording puts one recording on record.
func AddRecording(ctx context.Context, s *store.Store, r store.Recording) (int64, error) {
	ids, err := s.AddRecordings(ctx, func(yield func(store.Recording, error) bool) { yield(r, nil) })
	if err != nil {
		return 0, err
	}
	return ids[0], nil
}

// Splits are names as clubs write them with their parts, given|family.
var Splits = map[string]string{
	"Ann Lee": "Ann|Lee", "Lee, Ann": "Ann|Lee", " Lee ,  Ann ": "Ann|Lee", "Mensah-Bright, Kofi": "Kofi|Mensah-Bright", "Ann": "Ann|", "Anna B.": "Anna|B.",
	"Jan van der Berg": "Jan|van der Berg", "van der Berg, Jan": "Jan|van der Berg", "Ludwig van Beethoven": "Ludwig|van Beethoven", "Van Morrison": "Van|Morrison",
	"Vincent Van Gogh": "Vincent Van|Gogh", "Maria de la Cruz": "Maria|de la Cruz", "ann lee": "ann|lee", "ann marie lee": "ann marie|lee", "de Souza": "de|Souza",
	"John Smith Jr.": "John|Smith Jr.", "John Smith, Jr.": "John Smith, Jr.|", "Jan van Dyke III": "Jan|van Dyke III", "Lee, Ann, cox": "Lee, Ann, cox|", "Ann (cox)": "Ann (cox)|",
	"Lee,": "Lee,|", ", Ann": ", Ann|", "Erna 12": "Erna|12", "Åsa Östlund": "Åsa|Östlund", "Anna Maria Lee": "Anna Maria|Lee", "Lee Jr": "Lee|Jr",
}

package athletes

import "thole/api/store/db"

// nameFields are those of an athlete that call them.
const nameFields = "('name', 'given_name', 'family_name')"

// forgetNames takes the names that an athlete has no more out of the history.
func forgetNames(t *db.Tx, id int64) error {
	var told int
	err := t.Scan("SELECT count(*) FROM edits WHERE athlete_id = ? AND field IN "+nameFields+" AND from_value IS NOT NULL", []any{id}, &told)
	if err != nil || told == 0 {
		return err
	}
	for _, query := range []string{
		"UPDATE edits SET from_value = NULL WHERE athlete_id = ? AND field IN " + nameFields,
		"UPDATE edits SET to_value = NULL WHERE athlete_id = ? AND field IN " + nameFields +
			" AND version < (SELECT max(version) FROM edits AS later WHERE later.athlete_id = edits.athlete_id AND later.field IN " + nameFields + ")",
	} {
		if err := t.Exec(query, id); err != nil {
			return err
		}
	}
	return t.ToWipe()
}

// forgetTest takes the result of a test out of the history of an athlete.
func forgetTest(t *db.Tx, athlete int64, e *ErgTest) error {
	words := e.words()
	err := t.Exec("UPDATE edits SET from_value = NULL, to_value = NULL WHERE athlete_id = ? AND field = ? AND tested_on = ? AND ? IN (from_value, to_value)",
		athlete, db.ErgometerTest, e.TestedOn, words)
	if err != nil {
		return err
	}
	return t.ToWipe()
}

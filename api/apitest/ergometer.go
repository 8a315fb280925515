package apitest

import (
	"fmt"
	"time"
)

// ErgOf is the address of an athlete's ergometer.
func ErgOf(id int64) string { return fmt.Sprintf("/api/v1/athletes/%d/ergometer", id) }

// DaysAgo is a day before today.
func DaysAgo(n int) string { return time.Now().AddDate(0, 0, -n).Format(time.DateOnly) }

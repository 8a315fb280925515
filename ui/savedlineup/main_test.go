package savedlineup_test

import (
	"os"
	"testing"

	"thole/ui/uitest"
)

func TestMain(m *testing.M) { os.Exit(uitest.Main(m)) }

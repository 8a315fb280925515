package strokefile_test

import (
	"os"
	"testing"

	"thole/ui/uitest"
)

func TestMain(m *testing.M) { os.Exit(uitest.Main(m, uitest.OneThread)) }

package savedlineup_test

import (
	"os"
	"testing"

	"thole/api/apitest"
)

func TestMain(m *testing.M) { os.Exit(apitest.Main(m)) }

package recordings

// Series is what the tests look at from inside.
type Series = series

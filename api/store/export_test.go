package store

// What the tests look at from inside.
const FormerSigner = formerSigner

var ReplaceID = replaceID

// DossierTables lists the tables of a dossier.
func DossierTables() []string {
	var list []string
	for _, p := range partsOf {
		list = append(list, p.table)
	}
	return list
}

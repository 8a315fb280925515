module thole

go 1.26.0

ignore ./ui/node_modules

require (
	gonum.org/v1/gonum v0.17.0 // indirect
	pgregory.net/rapid v1.3.0 // indirect
)

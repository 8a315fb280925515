module thole

go 1.26.0

ignore ./ui/node_modules

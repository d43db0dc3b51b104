module billwright/catalog/choices/outside

go 1.26.0

require (
	billwright v0.0.0
	github.com/dalzilio/rudd v1.1.0
	github.com/go-air/gini v1.0.4
)

replace billwright => ../../..

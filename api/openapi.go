package api

import (
	"fmt"
	"net/http"

	"github.com/swaggest/openapi-go"
	"github.com/swaggest/openapi-go/openapi31"
)

// Version is the version of the HTTP interface.
const Version = "1.0.0"

// OpenAPI returns the OpenAPI 3.1 description of every route as JSON.
func OpenAPI() ([]byte, error) {
	reflector := openapi31.NewReflector()
	reflector.Spec.Info.WithTitle("Thole").WithVersion(Version).WithDescription(
		"Rigging and crew selection for rowing. Names carry their unit; angles are negative towards the catch and positive towards the finish. " +
			"Errors are application/problem+json (RFC 9457).")
	for _, r := range Routes() {
		if err := describeRoute(reflector, &r); err != nil {
			return nil, fmt.Errorf("describing %s %s: %w", r.Method, r.Path, err)
		}
	}
	return reflector.Spec.MarshalJSON()
}

func describeRoute(reflector *openapi31.Reflector, r *Route) error {
	op, err := reflector.NewOperationContext(r.Method, r.Path)
	if err != nil {
		return err
	}
	op.SetSummary(r.Summary)
	op.SetDescription(r.Description)
	if r.in != nil {
		op.AddReqStructure(r.in)
	}
	op.AddRespStructure(r.out, openapi.WithHTTPStatus(http.StatusOK))
	problem := openapi.WithContentType("application/problem+json")
	for _, status := range []int{http.StatusBadRequest, http.StatusUnprocessableEntity} {
		op.AddRespStructure(Problem{}, openapi.WithHTTPStatus(status), problem)
	}
	return reflector.AddOperation(op)
}

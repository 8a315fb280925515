package api

// DescribeRoutes works the OpenAPI document out afresh.
var DescribeRoutes = describeRoutes

package export

// Convex lets the tests reach convex.
var Convex = convex

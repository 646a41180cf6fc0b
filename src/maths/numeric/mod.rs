//! Numerical methods with no physics in them. Each states its order, its stopping rule, its
//! cost and how it fails.

pub mod cholesky;
pub mod gauss_newton;
pub mod least_squares;
pub mod special;

pub mod incomplete_gamma;

pub mod quadrature;
pub mod radix;

//! Dial-in against synthetic grinders, coffees and pucks whose truth is known.

mod dial;
mod fit;
mod landing;
mod numeric;
mod predictions;
mod worlds;

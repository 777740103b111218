// Package climate reckons with weather: light and radiation at a latitude, what a
// crop and a pond give off, rain that counts, warmth and chill that add up, frosts
// and seasons out of daily records, wet years and dry ones.
//
// Temperatures are in degrees Celsius, rain and water given off in millimetres,
// latitudes in degrees with north positive, radiation in megajoules on a square
// metre, days of the year from 1. What has no answer is NaN. South of the equator
// the year of seasons begins on 1 July.
package climate

// The closing ritardando: a piece comes to rest as a runner does.
// Source: Friberg & Sundberg 1999, JASA 105(3): v(x) = (1 + (w^q - 1) x)^(1/q).
#pragma once

namespace arsis {

struct Closing {
  double last_tempo = 1.0;  // w: ratio of the final tempo to the tempo before, 0 < w <= 1
  double curve = 3.0;       // q >= 1: 1 linear, 2 constant deceleration, 3 constant power
};

// Tempo as a ratio of the tempo before, at the place x in 0..1 of the ritardando: 1 at 0, w at 1.
double closing_tempo(const Closing& closing, double x);

// Time from place 0 to x, in units of the time the whole stretch would take without the ritardando:
// the integral of 1 / v, in closed form.
double closing_time(const Closing& closing, double x);

}  // namespace arsis

// A page of four bars for two hands, of our own invention: a repeat of bars 1 and 2, dynamics of
// the instrument and of one staff, a hairpin, marks, a forte-piano, a fermata over both hands.
#pragma once

#include <fmt/format.h>

#include <string>

namespace arsis::test {

// A quarter (or `duration` of them) of a staff; `marks` goes into its articulations, `more` into
// its notations.
inline std::string steps_note(const char* pitch, int staff, const std::string& marks = "",
                              int duration = 1, const std::string& more = "") {
  std::string notations = more;
  if (!marks.empty()) notations += "<articulations><" + marks + "/></articulations>";
  if (!notations.empty()) notations = "<notations>" + notations + "</notations>";
  return fmt::format(
      "<note><pitch><step>{}</step><octave>{}</octave></pitch><duration>{}</duration>"
      "<voice>{}</voice><staff>{}</staff>{}</note>\n",
      pitch[0], pitch[1], duration, staff, staff, notations);
}

inline std::string steps_sign(const std::string& sign, int staff = 1) {
  return fmt::format(
      "<direction><direction-type>{}</direction-type><staff>{}</staff></direction>\n", sign, staff);
}

inline std::string steps_dynamic(const std::string& mark, int staff = 1) {
  return steps_sign("<dynamics><" + mark + "/></dynamics>", staff);
}

inline std::string steps_left(const char* a, const char* b, const char* c, const char* d,
                              const std::string& sign = "") {
  return "<backup><duration>4</duration></backup>\n" + sign + steps_note(a, 2) + steps_note(b, 2) +
         steps_note(c, 2) + steps_note(d, 2);
}

// Each element on a line of its own, from line 1.
inline std::string lantern_steps() {
  const std::string held = "<fermata/>";
  return "<?xml version='1.0'?>\n"
         "<score-partwise version='4.0'>\n"
         "<work><work-title>Lantern Steps</work-title></work>\n"
         "<part-list><score-part id='P1'><part-name>Piano</part-name></score-part></part-list>\n"
         "<part id='P1'>\n"
         "<measure number='1'>\n"
         "<barline location='left'><repeat direction='forward'/></barline>\n"
         "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time>"
         "<staves>2</staves></attributes>\n" +
         steps_dynamic("mf") + steps_note("C5", 1, "staccato") + steps_note("D5", 1, "staccato") +
         steps_note("E5", 1, "staccato") + steps_note("F5", 1) +
         steps_left("C3", "E3", "G3", "E3") + "</measure>\n<measure number='2'>\n" +
         steps_sign("<wedge type='diminuendo'/>") + steps_note("G5", 1, "accent") +
         steps_note("F5", 1) + steps_note("E5", 1) + steps_sign("<wedge type='stop'/>") +
         steps_note("D5", 1, "tenuto") + steps_left("C3", "F3", "A3", "F3") +
         "<barline location='right'><repeat direction='backward'/></barline>\n"
         "</measure>\n<measure number='3'>\n" +
         steps_dynamic("p") + steps_note("C5", 1) + steps_dynamic("fp") + steps_note("D5", 1) +
         steps_note("E5", 1) + steps_note("F5", 1) +
         steps_left("C3", "E3", "G3", "E3", steps_dynamic("f", 2)) +
         "</measure>\n<measure number='4'>\n" + steps_note("E5", 1) + steps_note("D5", 1) +
         steps_note("C5", 1, "", 2, held) + "<backup><duration>4</duration></backup>\n" +
         steps_note("C3", 2) + steps_note("G3", 2) + steps_note("C3", 2, "", 2, held) +
         "</measure>\n</part></score-partwise>\n";
}

}  // namespace arsis::test

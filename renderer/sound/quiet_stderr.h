// Keeps libraries from talking to the user: libasound, libjack and PulseAudio write to standard
// error what they could not find, whoever asked.
#pragma once

namespace arsis {

// While it lives, standard error of the whole process goes nowhere. Not to be nested across
// threads; short stretches only.
class QuietStderr {
 public:
  QuietStderr();
  QuietStderr(const QuietStderr&) = delete;
  QuietStderr& operator=(const QuietStderr&) = delete;
  ~QuietStderr();

 private:
  int kept_ = -1;
};

}  // namespace arsis

// How loud something will be live, beside the same sound rendered to frames.
#include "sound/live_loudness.h"

#include <gtest/gtest.h>

#include "score/played.h"
#include "score_builder.h"
#include "sound/rendering.h"
#include "sound/sine_soundfont.h"
#include "tool/run_arsis.h"

namespace arsis {
namespace {

class LiveLoudness : public ::testing::Test {
 protected:
  LiveLoudness() : score_(test::score_of(test::repeated("C5 D5 r/1 E5 F5", 3))) {
    sound_.soundfont = folder_.path() / "sine.sf2";
    sound_.synthesizer.reverb = false;
    test::write_soundfont(sound_.soundfont, test::Wave::kSine);
  }
  Result<LoudnessMeter> at(Decibels gain) const {
    const auto made = rendition_of(score_, test::played(score_), gain);
    const PlayerSettings settings{.entry = {0.0}, .end = score_.end(), .breath = {1.0}};
    return live_loudness(made, settings, sound_, {});
  }

  test::Folder folder_;
  Score score_;
  LiveSound sound_;
};

TEST_F(LiveLoudness, IsThatOfTheRenderedSoundWhereNoNotesOverlap) {
  RenderRequest request;
  request.soundfont = sound_.soundfont;
  request.beside = folder_.path() / "x.wav";
  request.bank.synthesizer = sound_.synthesizer;
  request.measures_loudness = true;
  bool failed = false;
  const Result<Rendered> rendered = render_frames(score_, test::played(score_), request, failed);
  ASSERT_TRUE(rendered);
  const Result<LoudnessMeter> live = at({0.0});
  ASSERT_TRUE(live);
  EXPECT_NEAR(live->loudness()->value, rendered->meter->loudness()->value, 0.05);
  EXPECT_NEAR(live->true_peak().value, rendered->meter->true_peak().value, 0.05);
}

TEST_F(LiveLoudness, FollowsTheGain) {
  const Result<LoudnessMeter> plain = at({0.0});
  const Result<LoudnessMeter> lowered = at({-6.0});
  ASSERT_TRUE(plain);
  ASSERT_TRUE(lowered);
  EXPECT_NEAR(lowered->loudness()->value - plain->loudness()->value, -6.0, 0.01);
}

TEST_F(LiveLoudness, TellsOfASoundFontThatIsNone) {
  folder_.write("none.sf2", "no sounds");
  sound_.soundfont = folder_.path() / "none.sf2";
  EXPECT_FALSE(at({0.0}));
}

}  // namespace
}  // namespace arsis

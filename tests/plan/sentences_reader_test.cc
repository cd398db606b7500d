// Sentences, phrases and motifs as a plan writes them: what is read, and every complaint.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "plan/plan_text.h"

namespace arsis {
namespace {

using test::complaints;
using test::kUpToSentences;
using test::plan_of;

using Row = test::ComplaintRow;

std::vector<SentencePlan> sentences_of(const std::string& text) {
  return plan_of(kUpToSentences + "sentences: " + text + "\n").sentences;
}

TEST(SentenceReader, ReadsVerseFeet) {
  const auto sentences = sentences_of("[{phrases: [u / u, /u, uu/, /], main: 2}]");
  ASSERT_EQ(sentences.size(), 1u);
  EXPECT_EQ(sentences[0].main, 1u);
  const auto& phrases = sentences[0].phrases;
  ASSERT_EQ(phrases.size(), 4u);
  struct Feet {
    std::size_t count;
    std::size_t main;
  };
  constexpr Feet kFeet[] = {{3, 1}, {2, 0}, {3, 2}, {1, 0}};
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_EQ(phrases[i].motifs.size(), kFeet[i].count);
    EXPECT_EQ(phrases[i].main, kFeet[i].main);
  }
  EXPECT_EQ(phrases[1].place, (Place{4, 31}));
}

TEST(SentenceReader, ReadsTheLongForm) {
  const auto sentences = sentences_of(
      "\n"
      "  - phrases:\n"
      "      - {motifs: [{to: 9:2}, {to: 10:3, goal: 10:1, main: true}, u]}\n"
      "      - {motifs: [/, {length: 2 bars, shape: {motif: {depth: 3 dB}}}]}\n"
      "      - {feet: u u, main: 2, shape: {phrase: {linger: 5 %}}}\n"
      "      - {motifs: [{}, {main: yes}]}\n"
      "    main: 3\n"
      "    from: 8:3\n"
      "    length: 1/2 bar\n"
      "    shape: {diminuendo: swell}");
  ASSERT_EQ(sentences.size(), 1u);
  const SentencePlan& sentence = sentences[0];
  EXPECT_EQ(sentence.main, 2u);
  EXPECT_EQ(sentence.from->position.bar, 8);
  EXPECT_EQ(sentence.length->number, 0.5);
  EXPECT_EQ(sentence.length->unit, WrittenLength::Unit::kBar);
  EXPECT_EQ(sentence.shape.diminuendo, Diminuendo::kSwell);
  ASSERT_EQ(sentence.phrases.size(), 4u);
  const PhrasePlan& first = sentence.phrases[0];
  ASSERT_EQ(first.motifs.size(), 3u);
  EXPECT_EQ(first.main, 1u);
  EXPECT_EQ(first.motifs[0].to->position.bar, 9);
  EXPECT_EQ(first.motifs[1].goal->position.beat, 1.0);
  EXPECT_FALSE(first.motifs[2].to.has_value());
  const PhrasePlan& second = sentence.phrases[1];
  EXPECT_EQ(second.main, 0u);
  EXPECT_EQ(second.motifs[1].length->number, 2.0);
  ASSERT_EQ(second.motifs[1].shape.constants.size(), 1u);
  EXPECT_EQ(second.motifs[1].shape.constants[0], (std::pair{Constant::kMotifDepth, 3.0}));
  EXPECT_EQ(sentence.phrases[2].main, 1u);
  EXPECT_EQ(sentence.phrases[2].shape.constants[0].second, 5.0);
  EXPECT_EQ(sentence.phrases[3].main, 1u);
}

TEST(SentenceReader, ReadsLikeThroughToTheSentenceWrittenOut) {
  const auto sentences = sentences_of(
      "[{phrases: [u /, / u], main: 2}, {like: 1}, {like: 2, main: 1}, {like: 3, from: 9:1}]");
  ASSERT_EQ(sentences.size(), 4u);
  for (const std::size_t i : {1u, 2u, 3u}) EXPECT_EQ(sentences[i].like, 0u);
  EXPECT_EQ(sentences[1].main, 1u);
  EXPECT_EQ(sentences[2].main, 0u);
  EXPECT_EQ(sentences[3].main, 0u);
}

TEST(SentenceReader, LetsASinglePhraseOrMotifStandAlone) {
  const auto sentences = sentences_of("[{phrases: [u]}, {phrases: [{motifs: [{to: 3:1}]}]}]");
  ASSERT_EQ(sentences.size(), 2u);
  EXPECT_EQ(sentences[0].main, 0u);
  EXPECT_EQ(sentences[0].phrases[0].main, 0u);
}

TEST(SentenceReader, SaysWhatIsWrongWithASentence) {
  const Row rows[] = {
      {"u /",
       {"p:4:12: sentences must be a list; write at least one, such as - {phrases: [u / u, u /], "
        "main: 1}"}},
      {"[]",
       {"p:4:12: sentences must be a list; write at least one, such as - {phrases: [u / u, u /], "
        "main: 1}"}},
      {"[{}]",
       {"p:4:13: a sentence needs its phrases once; write either phrases: [u / u, u /] or like: "
        "1"}},
      {"[{phrases: u /}]", {"p:4:23: phrases must be a list; write them as [u / u, u /]"}},
      {"[{phrases: []}]", {"p:4:23: phrases must be a list; write them as [u / u, u /]"}},
      {"[{phrases: [u /, / u]}]", {"p:4:13: a sentence without a main phrase; add main: 1 to 2"}},
      {"[{phrases: [u /, / u], main: 3}]",
       {"p:4:41: main cannot be '3'; write a whole number from 1 to 2"}},
      {"[{phrases: [u /, / u], main: last}]",
       {"p:4:41: main cannot be 'last'; write a whole number from 1 to 2"}},
      {"[{phrases: [u /], like: 1}]",
       {"p:4:13: a sentence needs its phrases once; write either phrases: [u / u, u /] or like: "
        "1"}},
      {"[{like: 1}]", {"p:4:20: the first sentence can be like no other; write its phrases"}},
      {"[{phrases: [u /]}, {like: 2}]", {"p:4:38: like cannot be '2'; write 1"}},
      {"[{phrases: [u /]}, {like: one}]", {"p:4:38: like cannot be 'one'; write 1"}},
      {"[{phrases: [u /]}, {like: 1, main: 2}]", {"p:4:47: main cannot be '2'; write 1"}},
      {"[{phrases: [u /], from: 3}]",
       {"p:4:36: from cannot be '3'; write bar:beat, such as 9:3, 9:3.5 or 9:3+1/3"}},
      {"[{phrases: [u /], length: 1}]",
       {"p:4:38: length cannot be '1'; write a length in bars or beats, such as 1 bar or 1/2 "
        "beat"}},
      {"[{phrases: [u /], mian: 1}]",
       {"p:4:30: a sentence has no key 'mian'; did you mean 'main'?"}},
      {"[u /]",
       {"p:4:13: a sentence cannot be 'u /'; write a map with phrases, main, from, length, like or "
        "shape"}},
  };
  for (const Row& row : rows)
    EXPECT_EQ(complaints(kUpToSentences + "sentences: " + row.plan + "\n"), row.messages)
        << row.plan;
}

TEST(SentenceReader, SaysWhatIsWrongWithAPhrase) {
  const Row rows[] = {
      {"[{phrases: [u u]}]",
       {"p:4:24: a phrase without a main motif; mark exactly one: '/' in feet, main: true in the "
        "long form"}},
      {"[{phrases: [/ / u]}]",
       {"p:4:24: a phrase with 2 main motifs; mark exactly one: '/' in feet, main: true in the "
        "long form"}},
      {"[{phrases: [u x]}]",
       {"p:4:24: 'u x' are no feet; write u for a motif and / for the main one, such as u / u"}},
      {"[{phrases: [\"  \"]}]",
       {"p:4:24: '  ' are no feet; write u for a motif and / for the main one, such as u / u"}},
      {"[{phrases: [[u, /]]}]",
       {"p:4:24: a phrase cannot be a list; write a map with feet, motifs, main or shape"}},
      {"[{phrases: [{}]}]",
       {"p:4:24: a phrase needs its motifs once; write either feet: u / u or motifs: [...]"}},
      {"[{phrases: [{feet: u /, motifs: [u, /]}]}]",
       {"p:4:24: a phrase needs its motifs once; write either feet: u / u or motifs: [...]"}},
      {"[{phrases: [{feet: [u, /]}]}]",
       {"p:4:31: feet must be text; write u for a motif and / for the main one, such as u / u"}},
      {"[{phrases: [{feet: u /, main: 1}]}]",
       {"p:4:24: a phrase with 2 main motifs; mark exactly one: '/' in feet, main: true in the "
        "long form"}},
      {"[{phrases: [{feet: u u, main: 3}]}]",
       {"p:4:42: main cannot be '3'; write a whole number from 1 to 2"}},
      {"[{phrases: [{feets: u /}]}]",
       {"p:4:24: a phrase needs its motifs once; write either feet: u / u or motifs: [...]",
        "p:4:25: a phrase has no key 'feets'; did you mean 'feet'?"}},
      {"[{phrases: [{motifs: u /}]}]", {"p:4:33: motifs must be a list; write 1 to 1000 motifs"}},
      {"[{phrases: [{motifs: []}]}]", {"p:4:33: motifs must be a list; write 1 to 1000 motifs"}},
      {"[{phrases: [{motifs: [{to: 2:1}, {to: 3:1}]}]}]",
       {"p:4:24: a phrase without a main motif; mark exactly one: '/' in feet, main: true in the "
        "long form"}},
      {"[{phrases: [{motifs: [{to: 2:1, length: 1 bar}, {to: end, main: true}]}]}]",
       {"p:4:52: a motif with 'to' and 'length'; write one of them",
        "p:4:65: to cannot be 'end'; write bar:beat, such as 9:3, 9:3.5 or 9:3+1/3"}},
      {"[{phrases: [{motifs: [{goal: 2, main: true}]}]}]",
       {"p:4:41: goal cannot be '2'; write bar:beat, such as 9:3, 9:3.5 or 9:3+1/3"}},
      {"[{phrases: [{motifs: [{main: maybe}]}]}]",
       {"p:4:41: main cannot be 'maybe'; write true or false"}},
      {"[{phrases: [{motifs: [{until: 2:1}]}]}]",
       {"p:4:35: a motif has no key 'until'; its keys are to, length, goal, main or shape"}},
      {"[{phrases: [{motifs: [x]}]}]",
       {"p:4:34: a motif cannot be 'x'; write a map with to, length, goal, main or shape"}},
      {"[{phrases: [{motifs: [{length: 0 bars}]}]}]",
       {"p:4:43: length cannot be '0 bars'; write a length in bars or beats, such as 1 bar or 1/2 "
        "beat"}},
  };
  for (const Row& row : rows)
    EXPECT_EQ(complaints(kUpToSentences + "sentences: " + row.plan + "\n"), row.messages)
        << row.plan;
}

TEST(SentenceReader, SaysAllThatIsWrongAtOnce) {
  const Row rows[] = {
      {"[{phrases: [/ u]}, {like: 1, phrases: [u /]}, u, {phrase: [u /]}]",
       {"p:4:31: a sentence needs its phrases once; write either phrases: [u / u, u /] or like: 1",
        "p:4:58: a sentence cannot be 'u'; write a map with phrases, main, from, length, like or "
        "shape",
        "p:4:61: a sentence needs its phrases once; write either phrases: [u / u, u /] or like: 1",
        "p:4:62: a sentence has no key 'phrase'; did you mean 'phrases'?"}},
  };
  for (const Row& row : rows)
    EXPECT_EQ(complaints(kUpToSentences + "sentences: " + row.plan + "\n"), row.messages)
        << row.plan;
}

TEST(SentenceReader, BoundsPhrasesAndThePlan) {
  const std::string most(1000, 'u');
  EXPECT_EQ(complaints(kUpToSentences + "sentences: [{phrases: [/" + most + "]}]\n").size(), 1u);
  const std::string phrase = "/" + most.substr(1);
  EXPECT_EQ(sentences_of("[{phrases: [" + phrase + "]}]")[0].phrases[0].motifs.size(), 1000u);
  std::string motifs = "/";
  for (int i = 0; i < 1000; ++i) motifs += ", u";
  EXPECT_EQ(complaints(kUpToSentences + "sentences: [{phrases: [{motifs: [" + motifs + "]}]}]\n"),
            std::vector<std::string>{"p:4:33: a phrase of 1001 motifs; write 1 to 1000 motifs"});
  std::string sentences = "sentences:\n";
  for (int i = 0; i < 201; ++i) sentences += "  - {phrases: [" + phrase + "]}\n";
  EXPECT_EQ(complaints(kUpToSentences + sentences),
            std::vector<std::string>{"p:205:16: too many motifs; at most 200000 are read"});
}

}  // namespace
}  // namespace arsis

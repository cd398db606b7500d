#include "score/chase.h"

#include <algorithm>
#include <map>
#include <optional>

namespace arsis {
namespace {

constexpr std::uint32_t kNone = 0xFFFFFFFF;

// Controllers of MIDI 1.0 that are not a plain value.
constexpr std::uint8_t kBank = 0;
constexpr std::uint8_t kDataEntry = 6;
constexpr std::uint8_t kBankFine = 32;
constexpr std::uint8_t kDataEntryFine = 38;
constexpr std::uint8_t kDataIncrement = 96;
constexpr std::uint8_t kDataDecrement = 97;
constexpr std::uint8_t kNrpnFine = 98;
constexpr std::uint8_t kNrpn = 99;
constexpr std::uint8_t kRpnFine = 100;
constexpr std::uint8_t kRpn = 101;
constexpr std::uint8_t kResetControllers = 121;
constexpr std::uint8_t kFirstMode = 120;  // all sound off and the channel modes
// What a Reset All Controllers sets back, beside bend and pressure (RP-015): modulation,
// expression, the pedals 64 to 67, and the parameter chosen last.
constexpr std::array<std::uint8_t, 6> kResetBack = {1, 11, 64, 65, 66, 67};

// The score's message that set a value last.
using Setter = std::uint32_t;

// A registered or non-registered parameter: its kind and number, as sent.
struct Parameter {
  std::uint8_t select = 0;  // kRpn or kNrpn; 0: none chosen
  std::uint8_t coarse = 127;
  std::uint8_t fine = 127;
  friend auto operator<=>(const Parameter&, const Parameter&) = default;
};
struct ParameterValue {
  std::uint16_t track = 0;
  std::optional<std::uint8_t> coarse;
  std::optional<std::uint8_t> fine;
};

struct Program {
  Setter bank = kNone;
  Setter bank_fine = kNone;
  Setter program = kNone;
};

class Channel {
 public:
  Channel() { controllers_.fill(kNone); }

  void control(std::uint8_t controller, std::uint8_t value, Setter setter, std::uint16_t track) {
    switch (controller) {
      case kDataEntry:
      case kDataEntryFine:
        return enter(controller, value, track);
      case kDataIncrement:
      case kDataDecrement:
        return;  // rare, and relative to a value that the instrument may have of its own
      case kNrpn:
      case kRpn:
        chosen_.select = controller;
        chosen_.coarse = value;
        chosen_track_ = track;
        return;
      case kNrpnFine:
      case kRpnFine:
        chosen_.select = controller == kRpnFine ? kRpn : kNrpn;
        chosen_.fine = value;
        chosen_track_ = track;
        return;
      case kResetControllers:
        return reset();
      default:
        if (controller < kFirstMode) controllers_[controller] = setter;
    }
  }
  void program(Setter setter) { program_ = {controllers_[kBank], controllers_[kBankFine], setter}; }
  void bend(Setter setter) { bend_ = setter; }
  void pressure(Setter setter) { pressure_ = setter; }

  // Appends what restores the channel.
  template <class Send, class Make>
  void restore(std::uint8_t number, const Send& send, const Make& make) const {
    send(program_.bank);
    send(program_.bank_fine);
    send(program_.program);
    const auto status = static_cast<std::uint8_t>(0xB0 | number);
    for (const auto& [parameter, value] : parameters_) {
      const std::uint8_t fine_select = parameter.select == kRpn ? kRpnFine : kNrpnFine;
      make(value.track, {status, parameter.select, parameter.coarse});
      make(value.track, {status, fine_select, parameter.fine});
      if (value.coarse) make(value.track, {status, kDataEntry, *value.coarse});
      if (value.fine) make(value.track, {status, kDataEntryFine, *value.fine});
    }
    // Data that comes later is meant for what is chosen now.
    if (!parameters_.empty() || has_chosen()) {
      const std::uint8_t select = chosen_.select == 0 ? kRpn : chosen_.select;
      make(chosen_track_, {status, select, chosen_.coarse});
      make(chosen_track_, {status, select == kRpn ? kRpnFine : kNrpnFine, chosen_.fine});
    }
    for (const std::uint8_t controller : {kBank, kBankFine}) {
      const Setter at_program = controller == kBank ? program_.bank : program_.bank_fine;
      if (controllers_[controller] != at_program) send(controllers_[controller]);
    }
    for (std::uint8_t controller = 1; controller < kFirstMode; ++controller) {
      if (controller != kBankFine) send(controllers_[controller]);
    }
    send(bend_);
    send(pressure_);
  }

 private:
  // "No parameter" (127, 127) takes no data.
  bool has_chosen() const {
    return chosen_.select != 0 && !(chosen_.coarse == 127 && chosen_.fine == 127);
  }
  void enter(std::uint8_t controller, std::uint8_t value, std::uint16_t track) {
    if (!has_chosen()) return;
    ParameterValue& entered = parameters_[chosen_];
    entered.track = track;
    (controller == kDataEntry ? entered.coarse : entered.fine) = value;
  }
  void reset() {
    for (const std::uint8_t controller : kResetBack) controllers_[controller] = kNone;
    bend_ = kNone;
    pressure_ = kNone;
    chosen_ = {};
  }

  std::array<Setter, 128> controllers_{};
  Program program_;
  Parameter chosen_;
  std::uint16_t chosen_track_ = 0;  // of the message that chose it
  std::map<Parameter, ParameterValue> parameters_;
  Setter bend_ = kNone;
  Setter pressure_ = kNone;
};

bool is_system_on(std::span<const std::uint8_t> bytes) {
  // F0 7E <device> 09 <01 or 03> F7
  return bytes.size() == 6 && bytes[0] == 0xF0 && bytes[1] == 0x7E && bytes[3] == 0x09 &&
         (bytes[4] == 0x01 || bytes[4] == 0x03);
}

class Chase {
 public:
  explicit Chase(const Score& score) : score_(score) {}

  void meet(std::uint32_t index) {
    const Message& message = score_.messages[index];
    const auto bytes = score_.bytes_of(message);
    if (bytes.empty()) return;
    if (bytes[0] == 0xF0) return exclusive(bytes, index);
    if (bytes[0] == 0xFF) return meta(bytes, index);
    if (bytes[0] < 0x80 || bytes[0] > 0xEF || bytes.size() < 2) return;
    Channel& channel = channels_[bytes[0] & 0x0F];
    switch (bytes[0] & 0xF0) {
      case 0xB0:
        if (bytes.size() < 3 || bytes[1] > 127) return;
        return channel.control(bytes[1], bytes[2], index, message.track);
      case 0xC0:
        return channel.program(index);
      case 0xD0:
        return channel.pressure(index);
      case 0xE0:
        return channel.bend(index);
      default:
        return;  // pressure of a key that is not sounding
    }
  }

  std::vector<ChasedMessage> all() const {
    std::vector<ChasedMessage> messages;
    const auto send = [&](Setter setter) {
      if (setter == kNone) return;
      messages.push_back({.track = score_.messages[setter].track, .message = setter});
    };
    const auto make = [&](std::uint16_t track, std::array<std::uint8_t, 3> bytes) {
      messages.push_back({.track = track, .size = 3, .bytes = bytes});
    };
    for (const Setter setter : metas_) send(setter);
    send(key_);
    for (const Setter setter : exclusives_) send(setter);
    for (std::uint8_t i = 0; i < channels_.size(); ++i) channels_[i].restore(i, send, make);
    return messages;
  }

 private:
  void exclusive(std::span<const std::uint8_t> bytes, std::uint32_t index) {
    if (is_system_on(bytes)) {
      channels_.fill({});
      exclusives_.clear();
    }
    exclusives_.push_back(index);
  }
  void meta(std::span<const std::uint8_t> bytes, std::uint32_t index) {
    if (bytes.size() < 2) return;
    constexpr std::array<std::uint8_t, 5> kOfTheTrack = {0x02, 0x03, 0x04, 0x09, 0x21};
    if (std::ranges::find(kOfTheTrack, bytes[1]) != kOfTheTrack.end()) metas_.push_back(index);
    if (bytes[1] == 0x59) key_ = index;
  }

  const Score& score_;
  std::array<Channel, 16> channels_;
  std::vector<Setter> exclusives_;
  std::vector<Setter> metas_;
  Setter key_ = kNone;
};

}  // namespace

std::vector<ChasedMessage> chased(const Score& score, Beats moment) {
  Chase chase(score);
  for (std::uint32_t i = 0; i < score.messages.size() && score.messages[i].at < moment; ++i) {
    chase.meet(i);
  }
  return chase.all();
}

}  // namespace arsis

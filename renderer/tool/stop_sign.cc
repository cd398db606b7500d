#include "tool/stop_sign.h"

#include <algorithm>

namespace arsis {
namespace {

// Which of the two keys a note message is of; none for all others.
std::optional<std::size_t> sign_key(const RecordedMessage& message) {
  const int above = message.bytes[1] - StopSign::kLowestKey;
  if (!message.is_note() || above < 0 || above > 1) return std::nullopt;
  return static_cast<std::size_t>(above);
}

}  // namespace

void StopSign::hear(const RecordedMessage& message) {
  const std::optional<std::size_t> key = sign_key(message);
  if (!key) return;
  if (message.is_note_on()) {
    down_[*key] = message.at;
  } else {
    down_[*key].reset();
  }
}

bool StopSign::is_given(Seconds now) const {
  return down_[0] && down_[1] && now - std::max(*down_[0], *down_[1]) >= kHeld;
}

std::vector<RecordedMessage> without_stop_sign(std::vector<RecordedMessage> messages) {
  // From the end back to the last stroke of each key.
  bool found[2] = {false, false};
  for (std::size_t i = messages.size(); i-- > 0 && !(found[0] && found[1]);) {
    const std::optional<std::size_t> key = sign_key(messages[i]);
    if (!key || found[*key]) continue;
    found[*key] = messages[i].is_note_on();
    messages.erase(messages.begin() + static_cast<std::ptrdiff_t>(i));
  }
  return messages;
}

}  // namespace arsis

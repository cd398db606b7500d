#include "take/ways.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <tuple>
#include <utility>

namespace arsis {
namespace {

constexpr std::uint32_t kNone = Way::kNowhere;
// Steps that no way remembers any more are thrown away when there are this many.
constexpr std::size_t kManyNodes = std::size_t{1} << 20;
constexpr std::size_t kMostNodes = std::size_t{1} << 22;

bool is_before(const Way& a, const Way& b) {
  return std::tuple(a.cost, a.moment) < std::tuple(b.cost, b.moment);
}

}  // namespace

double Way::keep_time(Seconds written, Seconds onset) {
  constexpr double kNoise = 0.05;      // seconds that hands are apart; common practice, no source
  constexpr double kRubato = 0.2;      // share of the interval
  constexpr double kUnsure = 4.0;      // times as much before the tempo is known
  constexpr double kSlowest = 4.0;     // beyond half and double tempo
  constexpr double kSteadiness = 0.5;  // written seconds that weigh as much as what was known
  constexpr double kPull = 0.6;        // share of an error that the clock follows
  constexpr double kHesitation = 0.6;  // seconds; a longer error says nothing of the tempo
  const double interval = written.value * tempo;
  const double error = (onset - clock).value - interval;
  const double known = std::min(1.0, beats_kept / 3.0);
  const double tolerance = (kNoise + kRubato * interval) * (known + kUnsure * (1.0 - known));
  const bool hesitates = std::abs(error) > kHesitation + interval;
  if (!hesitates) {
    const double weight =
        std::max(written.value / (written.value + kSteadiness), 1.0 / (1.0 + beats_kept));
    const double gain = beats_kept == 0 ? 1.0 : 0.5 * weight;
    tempo =
        std::clamp(tempo + gain * error / std::max(written.value, 0.05), 1.0 / kSlowest, kSlowest);
  }
  clock = hesitates || beats_kept == 0 ? onset : onset - Seconds{error * (1.0 - kPull)};
  beats_kept = std::min(beats_kept + 1, 100);
  return error / tolerance;
}

Ways::Ways(std::size_t moments) : place_(moments + 1, kNone), collect_at_(kManyNodes) {
  assert(moments > 0);
  offer(Way{});
}

std::vector<Way> Ways::take() {
  const std::size_t last = place_.size() - 1;
  for (const Way& way : open_) place_[std::min<std::size_t>(way.moment, last)] = kNone;
  return std::exchange(open_, {});
}

bool Ways::is_better(double cost, std::uint32_t moment) const {
  const std::uint32_t at = place_[std::min<std::size_t>(moment, place_.size() - 1)];
  return at == kNone || cost < open_[at].cost;
}

void Ways::put(const Way& way) {
  std::uint32_t& at = place_[std::min<std::size_t>(way.moment, place_.size() - 1)];
  if (at == kNone) {
    at = static_cast<std::uint32_t>(open_.size());
    open_.push_back(way);
  } else {
    open_[at] = way;
  }
}

void Ways::offer(const Way& way) {
  if (is_better(way.cost, way.moment)) put(way);
}

void Ways::offer(Way way, Step step) {
  if (!is_better(way.cost, way.moment)) return;
  nodes_.push_back({way.last_step, step});
  way.last_step = static_cast<std::uint32_t>(nodes_.size() - 1);
  put(way);
}

void Ways::prune(double beam, std::size_t most) {
  const double limit = std::ranges::min_element(open_, is_before)->cost + beam;
  std::vector<Way> all = take();
  open_.reserve(all.size());
  std::erase_if(all, [&](const Way& way) { return way.cost > limit; });
  if (all.size() > most) {
    std::ranges::nth_element(all, all.begin() + static_cast<std::ptrdiff_t>(most), is_before);
    all.resize(most);
  }
  for (const Way& way : all) put(way);
  if (nodes_.size() > collect_at_) collect();
}

// Keeps the steps that an open way has taken, in their order. Where the ways have so little in
// common that this is too much, the dearer half of them is given up.
void Ways::collect() {
  std::vector<bool> kept(nodes_.size(), false);
  for (const Way& way : open_) {
    for (std::uint32_t at = way.last_step; at != kNone && !kept[at]; at = nodes_[at].before) {
      kept[at] = true;
    }
  }
  std::vector<std::uint32_t> moved(nodes_.size(), kNone);
  std::size_t count = 0;
  for (std::size_t i = 0; i < nodes_.size(); ++i) {
    if (!kept[i]) continue;
    moved[i] = static_cast<std::uint32_t>(count);
    Node node = nodes_[i];
    if (node.before != kNone) node.before = moved[node.before];
    nodes_[count++] = node;
  }
  nodes_.resize(count);
  for (Way& way : open_) {
    if (way.last_step != kNone) way.last_step = moved[way.last_step];
  }
  if (count > kMostNodes / 2 && open_.size() > 1) {
    std::vector<Way> all = take();
    std::ranges::sort(all, is_before);
    all.resize(all.size() / 2);
    for (const Way& way : all) put(way);
    return collect();
  }
  collect_at_ = std::max(kManyNodes, 2 * count);
}

std::vector<Step> Ways::best_path(double left, double most) const {
  std::vector<Step> path;
  const std::size_t end = place_.size() - 1;
  const auto cost = [&](const Way& way) {
    if (way.is_nowhere()) return way.cost + most;
    return way.cost + std::min(most, left * static_cast<double>(end - 1 - way.moment));
  };
  const Way& best = *std::ranges::min_element(open_, {}, cost);
  for (std::uint32_t at = best.last_step; at != kNone; at = nodes_[at].before) {
    path.push_back(nodes_[at].step);
  }
  std::ranges::reverse(path);
  return path;
}

}  // namespace arsis

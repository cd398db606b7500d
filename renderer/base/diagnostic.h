// What is wrong with an input, where, and what would be accepted. User mistakes are values: readers
// carry on and return all of them; a library never prints.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace arsis {

// A place in an input. In a text file: line and column, counted from 1 (0: the whole file). In a
// binary file: `part` names it in words, such as "track 2, byte 315".
struct Where {
  std::string file;
  int line = 0;
  int column = 0;
  std::string part = {};

  friend bool operator==(const Where&, const Where&) = default;
};

enum class Severity { kError, kWarning };

struct Diagnostic {
  Where where;
  Severity severity = Severity::kError;
  std::string problem;  // what is wrong, quoting the offending value
  std::string remedy;   // what would be accepted; may be empty

  friend bool operator==(const Diagnostic&, const Diagnostic&) = default;
};

using Diagnostics = std::vector<Diagnostic>;

// "plans/minuet.yaml:14:9: main 4 is out of range; choose 1 to 3", and for a warning
// "plans/minuet.yaml:14:9: warning: ...". In a binary file "song.mid: track 2, byte 315: ...".
std::string to_string(const Diagnostic& diagnostic);

// One diagnostic alone, ready to be returned as a Result.
Diagnostics fail(Where where, std::string problem, std::string remedy = {});
Diagnostic error(Where where, std::string problem, std::string remedy = {});
Diagnostic warning(Where where, std::string problem, std::string remedy = {});

// Adds what was said elsewhere, in its order.
void append(Diagnostics& all, const Diagnostics& more);
// Those that are not among them yet.
void append_once(Diagnostics& all, const Diagnostics& more);

bool has_errors(const Diagnostics& diagnostics);

// A value, perhaps with warnings; or no value, and the errors (with any warnings) that say why.
template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value, Diagnostics warnings = {})  // NOLINT: implicit, so that `return` reads well
      : value_(std::move(value)), diagnostics_(std::move(warnings)) {}
  Result(Diagnostics errors)  // NOLINT: implicit, so that `return` reads well
      : diagnostics_(std::move(errors)) {}

  explicit operator bool() const { return value_.has_value(); }
  const T& operator*() const& { return *value_; }
  T& operator*() & { return *value_; }
  T&& operator*() && { return *std::move(value_); }
  const T* operator->() const { return &*value_; }
  T* operator->() { return &*value_; }
  const Diagnostics& diagnostics() const { return diagnostics_; }

 private:
  std::optional<T> value_;
  Diagnostics diagnostics_;
};

struct Done {};  // the value of a Result that has nothing to hand over

}  // namespace arsis

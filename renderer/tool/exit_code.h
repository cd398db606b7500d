// How the program ends.
#pragma once

namespace arsis {

inline constexpr int kDone = 0;
inline constexpr int kInputAtFault = 1;
inline constexpr int kUsageAtFault = 2;
inline constexpr int kDeviceMissing = 3;  // a device or a SoundFont

}  // namespace arsis

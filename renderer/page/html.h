// What a page of HTML needs to hold texts and bytes of any origin safely.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>

namespace arsis {

// Source: RFC 4648 section 4, with padding.
void add_base64(std::string& text, std::span<const std::uint8_t> bytes);

// JSON as it may stand inside of <script>: no end tag and no comment can begin in it. It means the
// same to a reader of JSON.
// Source: HTML Living Standard, "Restrictions for contents of script elements".
//   json  well-formed: < stands within strings only
std::string script_safe(std::string_view json);

// The source expression of a Content-Security-Policy that lets one script run, by its sum.
//   sha256  64 hexadecimal digits
// Source: W3C Content Security Policy Level 3, "hash-source".
std::string hash_source(std::string_view sha256);

}  // namespace arsis

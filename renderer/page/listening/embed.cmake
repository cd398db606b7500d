# Makes a source file that holds the listening page's script and style sheet:
#   cmake -DFOLDER=... -DSCRIPTS=a.js,b.js -DSTYLES=c.css -DOUTPUT=... -P embed.cmake
# The scripts become one, in order, in a function of their own.
function(joined names out)
  set(text "")
  string(REPLACE "," ";" names "${names}")
  foreach(name IN LISTS names)
    file(READ "${FOLDER}/${name}" part)
    string(APPEND text "${part}")
  endforeach()
  set(${out} "${text}" PARENT_SCOPE)
endfunction()

joined("${SCRIPTS}" script)
joined("${STYLES}" style)
set(script "(() => {\n'use strict';\n${script}})();\n")
string(SHA256 sum "${script}")
file(CONFIGURE OUTPUT "${OUTPUT}" @ONLY CONTENT [==[
// Made by embed.cmake from the files in renderer/page/listening.
#include "page/listening_files.h"

namespace arsis {

const std::string_view kListeningScript = R"arsis(@script@)arsis";
const std::string_view kListeningScriptSum = "@sum@";
const std::string_view kListeningStyle = R"arsis(@style@)arsis";

}  // namespace arsis
]==])

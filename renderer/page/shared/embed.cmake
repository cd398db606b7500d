# Makes a source file that holds the script and the style sheet of a page:
#   cmake -DFOLDER=... -DSCRIPTS=a.js,b.js -DSTYLES=c.css,d.css -DNAME=Listening -DOUTPUT=... -P embed.cmake
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
// Made by embed.cmake from files in renderer/page.
#include "page/embedded.h"

namespace arsis {

const PageScript k@NAME@Script = {
    .text = R"arsis(@script@)arsis",
    .sum = "@sum@",
    .style = R"arsis(@style@)arsis",
};

}  // namespace arsis
]==])

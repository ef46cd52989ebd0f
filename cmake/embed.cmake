# boxfettle_embed(ROOM FILE NAME)
#
# Puts a text file of data/ into the room's library as `extern const std::string_view NAME` in namespace boxfettle, so that
# the program finds its data wherever it stands. Changing the file configures and builds again.
function(boxfettle_embed ROOM FILE NAME)
  set(embedded_name ${NAME})
  set(embedded_file ${FILE})
  file(READ ${CMAKE_SOURCE_DIR}/${FILE} embedded_text)
  file(CONFIGURE OUTPUT ${CMAKE_CURRENT_BINARY_DIR}/${NAME}.cpp @ONLY CONTENT
"// Made from @embedded_file@.
#include <string_view>
namespace boxfettle {
extern const std::string_view @embedded_name@;
const std::string_view @embedded_name@ = R\"boxfettle(@embedded_text@)boxfettle\";
}  // namespace boxfettle
")
  set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/${FILE})
  target_sources(boxfettle_${ROOM} PRIVATE ${CMAKE_CURRENT_BINARY_DIR}/${NAME}.cpp)
endfunction()

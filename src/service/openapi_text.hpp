// openapi.yaml as it was when the program was built.
#pragma once

#include <string_view>

namespace boxfettle {

std::string_view openapi_text();

}  // namespace boxfettle

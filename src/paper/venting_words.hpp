// What is said with every answer about air and gas.
#pragma once

#include <string>
#include <vector>

namespace boxfettle {

std::string what_blowing_is();  // and is not
std::string what_venting_is();
std::vector<std::string> blowing_cautions();
std::vector<std::string> venting_cautions();

}  // namespace boxfettle

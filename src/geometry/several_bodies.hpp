// A STEP file that leaves a choice: it holds several bodies, and nobody said which one is wanted.
#pragma once

#include <string>

#include "geometry/step_answer.hpp"
#include "input/input_error.hpp"

namespace boxfettle {

// Thrown by read_step_file; in words it tells of every body, and how to choose.
class SeveralBodies : public InputError {
 public:
  SeveralBodies(const std::string& file, StepChoice choice, const std::string& mend);
  const StepChoice& choice() const { return choice_; }

 private:
  StepChoice choice_;
};

}  // namespace boxfettle

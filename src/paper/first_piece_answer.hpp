// What first pieces say about a run, as JSON and in words.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "paper/input_file.hpp"
#include "statistics/first_pieces.hpp"

namespace boxfettle {

// How many pieces with none bad bear a claim.
struct ClaimNeeds {
  double fraction;
  std::size_t pieces;
};

struct CheckedPieces {
  std::size_t checked, bad;
  Estimate bad_fraction;  // two-sided
  double at_most;         // one-sided
};

struct MeasuredPieces {
  std::string column;
  std::size_t count;
  double mean, sd, share;
  ToleranceFactors factors;
};

struct PlanAnswer {
  StagedPlan plan;
  std::optional<SequentialGoals> goals;  // of a sequential plan
  struct At {
    double bad;
    PlanOutcome outcome;
  };
  std::vector<At> outcomes;  // over bad fractions, rising
};

struct FirstPieceAnswer {
  double confidence = 0.95;
  std::vector<ClaimNeeds> needs;
  std::optional<CheckedPieces> pieces;
  std::optional<MeasuredPieces> measured;
  std::optional<PlanAnswer> plan;
  std::vector<std::string> notes;
};

// "bad_fraction" {low, high}, "needed_for"; "tolerance_limits" and "plan" where asked.
nlohmann::ordered_json first_piece_json(const FirstPieceAnswer& answer, const std::vector<InputFile>& inputs);
std::string first_piece_text(const FirstPieceAnswer& answer);

}  // namespace boxfettle

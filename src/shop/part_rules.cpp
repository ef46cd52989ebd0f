#include "shop/rules.hpp"

namespace boxfettle {
namespace {

Refusal no_such_piece(const Question& question, const std::string& piece) {
  std::string known;
  for (const auto& [label, one] : question.state.kit) known += (known.empty() ? "" : ", ") + label;
  return {"Loose piece " + piece + " does not belong to box " + question.state.box + ".",
          known.empty()
              ? "This box has no loose pieces. Read the label again, or have tooling register the piece."
              : "Its pieces are " + known + ". Read the label again, or take the piece to its own box."};
}

constexpr std::initializer_list<Role> keep_parts{Role::fitter, Role::tooling};

}  // namespace

Answer told_by_rule(const Question& question, const ComponentFitted& body) {
  if (auto refusal = only_for(question.person, keep_parts, "list or fit components")) return *refusal;
  return std::vector<EntryBody>{body};
}

Answer told_by_rule(const Question& question, const PieceRegistered& body) {
  if (auto refusal = only_for(question.person, keep_parts, "register loose pieces")) return *refusal;
  return std::vector<EntryBody>{body};
}

Answer told_by_rule(const Question& question, const PieceMoved& body) {
  if (!question.state.kit.contains(body.piece)) return no_such_piece(question, body.piece);
  return std::vector<EntryBody>{body};
}

Answer told_by_rule(const Question& question, const PieceRetired& body) {
  if (auto refusal = only_for(question.person, keep_parts, "retire loose pieces")) return *refusal;
  if (!question.state.kit.contains(body.piece)) return no_such_piece(question, body.piece);
  return std::vector<EntryBody>{body};
}

Answer told_by_rule(const Question& question, const FileFiled& body) {
  if (auto refusal = only_for(question.person, {Role::fitter, Role::tooling, Role::quality}, "file drawings"))
    return *refusal;
  ContentHash::from_hex(body.file);  // throws when it is none
  return std::vector<EntryBody>{body};
}

Answer told_by_rule(const Question& question, const StockTaken& body) {
  if (!body.piece.empty() && !question.state.kit.contains(body.piece))
    return no_such_piece(question, body.piece);
  return std::vector<EntryBody>{body};
}

}  // namespace boxfettle

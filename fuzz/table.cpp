#include "fuzz/readers.hpp"
#include "input/csv_table.hpp"
#include "input/input_error.hpp"

namespace boxfettle::fuzz {

void table(Bytes bytes) {
  try {
    const CsvTable read({reinterpret_cast<const char*>(bytes.data()), bytes.size()}, "series.csv");
    const std::size_t shots = read.column("shots");
    for (std::size_t row = 0; row < read.rows(); ++row) read.number(row, shots);
  } catch (const InputError&) {  // a refusal is an answer
  }
}

}  // namespace boxfettle::fuzz

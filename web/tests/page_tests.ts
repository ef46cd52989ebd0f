// The page, used as people use it, in a browser against the program: tests/page/against_the_program.sh starts one. ONLY=words
// runs the tests whose sentence holds them.
import './page/sign_in_tests';
import './page/floor_tests';
import './page/box_tests';
import './page/inspection_tests';
import './page/scan_tests';
import './page/reading_tests';
import './page/closing_tests';
import './page/air_tests';
import './page/measure_tests';
import './page/run_tests';
import './page/defect_tests';
import './page/hold_tests';
import './page/place_tests';
import './page/trace_tests';
import './page/checkpoints_tests';
import './page/register_tests';
import './page/care_tests';
import './page/toolroom_tests';
import './page/diagnosis_tests';
import './page/every_screen_tests';
import { browser } from './page/visit';
import { runAll } from './page_test';

const whole = await runAll();
await browser.close();
process.exit(whole ? 0 : 1);

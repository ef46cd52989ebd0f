// Short names for what the service sends; the shapes themselves are generated from src/service/openapi.yaml.
import type { components, operations } from './schema';

type Schemas = components['schemas'];
export type Box = Schemas['BoxPage'];
export type ChainCheck = Schemas['ChainCheck'];
export type Checkpoint = Schemas['Checkpoint'];
export type Finding = Schemas['Finding'];
export type Floor = Schemas['Floor'];
export type FloorBox = Schemas['FloorBox'];
export type InspectionRequest = Schemas['InspectionRequest'];
export type InspectionResult = InspectionRequest['results'][number];
export type Job = Schemas['Job'];
export type Limits = Schemas['Limits'];
export type LogbookEntry = Schemas['LogbookEntry'];
export type Me = Schemas['Me'];
export type Place = Schemas['Place'];
export type Polyline = Schemas['Polyline'];
export type Problem = Schemas['Problem'];
export type Reading = Schemas['Reading'];
export type ReadingSummary = Schemas['ReadingSummary'];
export type Reason = Schemas['Reason'];
export type Section = Schemas['Section'];
export type SignIn = Schemas['SignIn'];
export type VerdictState = Schemas['VerdictState'];
export type ScanVerdict = Reading['verdict'];
export type Checkpoints = operations['checkpoints']['responses'][200]['content']['application/json'];
export type ScanUnit = NonNullable<NonNullable<operations['uploadScan']['parameters']['query']>['unit']>;

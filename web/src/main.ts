import { mount } from 'svelte';
import './look/fonts.css';
import './look/variables.css';
import './look/base.css';
import './look/scene.css';
import { setUpClient } from './api/client';
import { session } from './state/session.svelte';
import { language, t } from './texts/texts';
import App from './App.svelte';

document.documentElement.lang = language;
setUpClient(t.trouble, () => session.ended());
mount(App, { target: document.getElementById('page')! });

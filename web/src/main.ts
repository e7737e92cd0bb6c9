import '@fontsource/barlow/latin-400.css';
import '@fontsource/barlow/latin-500.css';
import '@fontsource/barlow/latin-600.css';
import '@fontsource/barlow/latin-ext-400.css';
import '@fontsource/barlow/latin-ext-500.css';
import '@fontsource/barlow/latin-ext-600.css';
import '@fontsource/spectral/latin-500.css';
import '@fontsource/spectral/latin-600.css';
import '@fontsource/spectral/latin-ext-500.css';
import '@fontsource/spectral/latin-ext-600.css';
import './app.css';
import { mount } from 'svelte';
import App from './App.svelte';
import { followAddress } from '$lib/ui/address.svelte';
import { followTheme } from '$lib/ui/theme.svelte';

followTheme();
followAddress();

const target = document.getElementById('page');
if (target) mount(App, { target });
